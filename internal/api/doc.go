// Package api is the workshop for other programs: JSON over HTTP under /api/v1,
// with the rights that pages have, and a description of itself in OpenAPI 3.1.
//
// One table (ops) says every operation: its address, the call of the workshop it
// makes, what goes in and what comes out. The server, the description and its tests
// are made from that table, so none of them can forget one. What an operation takes
// and gives are plain structs, whose tags say what is said of a field.
//
// A change and what is answered to it are one transaction (workshop.Once). No rule
// stands here: this package reads, calls the workshop, and writes.
package api
