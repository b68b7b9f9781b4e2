// Command net records a digest of everything the program puts out: plans, texts, lists,
// drawings and papers of the twelve examples and of sixty seeded random roofs, and the
// answers of the other commands. A change that only moves code leaves every digest as it
// was; a change of behaviour renews them in the same commit and says why.
//
//	go run ./internal/net                compares with internal/net/digests.txt; 1 when they differ
//	go run ./internal/net -update        writes the digests anew
//	go run ./internal/net -keep DIR      keeps all outputs in DIR, to hold one state against another
//	go run ./internal/net -only r01,n07  some roofs only
//	go run ./internal/net -short         the examples and twelve random roofs
//
// It runs the built program from outside and knows nothing of its packages.
package main
