// Command urdir plans cloth for backstrap looms: from an order to the cloth
// plan, the warp sheet and the yarn to buy.
package main

import (
	"context"
	"os"
)

func main() {
	os.Exit(run(context.Background(), os.Args[1:], os.Stdin, os.Stdout, os.Stderr, os.Getenv))
}
