//go:build !js

package main

import "fmt"

func main() { fmt.Println("urdir-screen is for the browser: make screen") }
