// Package doctor looks at what the program stands on, and says in plain words what is wrong and how to mend it: the data folder,
// its disk, what is kept in it, the clock, the firm's authority, names, ports, the weather service, and what was built into the
// program. It changes nothing. What it looks at that is not the system's own (the store, what is built in) is handed to it.
package doctor
