package scene

import _ "gelwright/internal/steady" // one seed everywhere
