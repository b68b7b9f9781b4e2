package unit

import _ "gelwright/internal/steady" // one seed everywhere
