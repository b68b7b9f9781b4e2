package settingout_test

import _ "gelwright/internal/steady" // one seed everywhere
