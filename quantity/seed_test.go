package quantity

import _ "gelwright/internal/steady" // one seed everywhere
