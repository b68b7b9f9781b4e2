package mixing

import _ "gelwright/internal/steady" // one seed everywhere
