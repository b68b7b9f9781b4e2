package ode

import _ "gelwright/internal/steady" // one seed everywhere
