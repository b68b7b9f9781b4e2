package conduction

import _ "gelwright/internal/steady" // one seed everywhere
