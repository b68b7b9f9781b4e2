// Package steps runs work that is made of pure functions, one after another, and keeps what
// each has made by the hash of what it was made from.
//
// A step is a function of a context and one input struct. Run checks that the context is not
// done, tells the progress that the step begins, and runs it; where a Cache is given and
// holds the output of the same input, it hands that out instead and runs nothing. What a step
// has made travels to the next as a Made: there it stands for all that it follows from and is
// hashed by its key alone, so that a set-out of thousands of pieces costs a later step 32
// bytes.
//
// What a cache holds is shared by everyone who asks: outputs are never changed after they
// are made. It forgets the output that was asked for longest ago when it is full. The package
// knows nothing of roofs.
package steps
