//go:build !js || !wasm

package main

import (
	"fmt"
	"os"
)

func main() {
	fmt.Fprintln(os.Stderr, "this program runs in a browser or in node: build it with GOOS=js GOARCH=wasm")
	os.Exit(1)
}
