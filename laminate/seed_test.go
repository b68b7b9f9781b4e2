package laminate

import _ "gelwright/internal/steady" // one seed everywhere
