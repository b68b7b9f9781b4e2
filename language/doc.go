// Package language says in another language what the engine and the papers say in English. It takes English text as it was
// composed and a Catalogue of forms ("Deck %s, layer %d: %d buckets"), finds the form that the text was made of, and puts what
// stands in the holes into the form of the other language, each part said in that language too. Figures pass unchanged but for
// the decimal mark; dates are written as the language writes them. What has no form stays English and is named by Missing.
//
// It knows no language itself: catalogues are data, in packages below this one, so that a program in English carries none. Why
// so, and not a printer at every sentence, is told in docs/decisions/0013-one-plan-many-languages.md.
package language
