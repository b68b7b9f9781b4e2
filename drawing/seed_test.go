package drawing

import _ "gelwright/internal/steady" // one seed everywhere
