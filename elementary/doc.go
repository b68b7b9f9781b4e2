// Package elementary gives the exponential, and what rests on it, with the same bits on every processor.
//
// The standard library computes Exp in assembly on some processors (amd64 and arm64 among them), each by a polynomial of its
// own, so that the last digit of everything built on it (Pow, Erfc) depends on the machine. A plan must not: a phone, a
// browser and a server have to give the same bytes. Here every product is rounded by an explicit conversion before it is
// added, which the language specification says keeps a compiler from fusing the two, so the result is fixed by IEEE 754
// alone. Nothing is read, kept or allocated.
//
// The other functions of the standard library that the engine calls (Log, Hypot, Sin, Atan2, Cbrt, Erfinv …) are the same Go
// text, or assembly with the same operations in the same order, on amd64 and WebAssembly; the tests hold Log and Hypot to
// that. On processors where the compiler fuses products and sums (arm64) a build with -gcflags=all=-d=fmahash=qn keeps them so.
//
// Method: argument reduction by tables of 2^(j/128) and of logarithms, and short Taylor polynomials: P. T. P. Tang,
// Table-driven implementation of the exponential function, ACM TOMS 15 (1989) 144–157, and of the logarithm function, ACM TOMS
// 16 (1990) 378–400. Exp and Pow err by less than 0.51 units in the last place, Erfc by less than 2.
package elementary
