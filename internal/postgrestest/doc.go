// Package postgrestest gives tests databases of a real PostgreSQL: it starts Debian's server, once a test process, in a folder of
// its own and on a socket there, and ends it when the process ends, however it ends. Where there is none the test fails and says
// what to install.
package postgrestest
