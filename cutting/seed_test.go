package cutting

import _ "gelwright/internal/steady" // one seed everywhere
