// Package load asks a running server as many people would and says how long it let them wait. It is run by
//
//	go test ./bench/load -run '^$' -bench . -benchtime 1x -timeout 30m
//
// which builds the program, starts it on a folder of jobs and on a PostgreSQL of its own, and prints for each the middle and the
// slowest answers beside those of a handler of net/http that does nothing. Each has a job of his own, which he reads and saves, and
// reads the papers of one of the twelve examples, which were drawn once before. LOAD_PEOPLE, LOAD_FOR and LOAD_PAUSE say how many
// people ask (200), for how long (1m) and how long each rests between two questions (1s; 0 for never).
package load
