// Command pagetypes writes the TypeScript types of the page's questions and answers from the Go types of package margin.
//
//	go run ./internal/tools/pagetypes > page/worker/answers.ts
//
// A test holds the file that stands there against what this writes.
package main

import (
	"os"

	"gelwright/internal/tools/pagetypes/typing"
)

func main() {
	if _, err := os.Stdout.Write(typing.Page()); err != nil {
		os.Exit(1)
	}
}
