// Package screen is the cloth designer: a cloth on the table, what was done to
// it so far, and its picture and numbers after every step. It is compiled for
// the browser (cmd/urdir-screen), so that the numbers beside the cloth are those
// of package plan and nothing is reckoned twice; tests run it natively.
//
// A Desk is asked with texts and answers with texts: what a page needs to show
// lists, numbers and problems in its reader's words.
package screen
