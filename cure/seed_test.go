package cure

import _ "gelwright/internal/steady" // one seed everywhere
