package thermal

import _ "gelwright/internal/steady" // one seed everywhere
