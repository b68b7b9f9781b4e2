package plane

import _ "gelwright/internal/steady" // one seed everywhere
