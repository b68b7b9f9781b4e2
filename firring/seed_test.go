package firring

import _ "gelwright/internal/steady" // one seed everywhere
