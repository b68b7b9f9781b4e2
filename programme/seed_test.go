package programme

import _ "gelwright/internal/steady" // one seed everywhere
