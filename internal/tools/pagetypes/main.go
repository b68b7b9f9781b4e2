// Command pagetypes writes the TypeScript types of the page's questions and answers from the Go types of package margin, or, asked for
// the office, those of its calls from the description of the API.
//
//	go run ./internal/tools/pagetypes > page/worker/answers.ts
//	go run ./internal/tools/pagetypes office > page/office/api.ts
//
// A test holds the files that stand there against what this writes.
package main

import (
	"fmt"
	"os"

	"gelwright/internal/tools/pagetypes/typing"
)

func main() {
	text := typing.Page()
	if len(os.Args) > 1 && os.Args[1] == "office" {
		var err error
		if text, err = typing.Office(); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
	}
	if _, err := os.Stdout.Write(text); err != nil {
		os.Exit(1)
	}
}
