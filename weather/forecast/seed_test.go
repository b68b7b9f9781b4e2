package forecast

import _ "gelwright/internal/steady" // one seed everywhere
