//go:build !js

// Command urdir-screen is the cloth designer for the browser; anywhere else it
// only says so.
package main

import "fmt"

func main() { fmt.Println("urdir-screen is for the browser: make screen") }
