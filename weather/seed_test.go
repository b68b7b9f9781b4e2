package weather

import _ "gelwright/internal/steady" // one seed everywhere
