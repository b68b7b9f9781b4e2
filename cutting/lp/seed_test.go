package lp

import _ "gelwright/internal/steady" // one seed everywhere
