// Package web is the workshop in a browser: pages made on the server, which work
// without scripts.
//
// A handler reads the form, asks package workshop, and renders or redirects. It
// holds no rule of the workshop, no arithmetic beyond layout, and no sentence: a
// page's words are in package lang. Every route stands in one table
// (routes.go), with the call whose right it asks for.
package web
