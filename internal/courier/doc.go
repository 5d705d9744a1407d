// Package courier sends what the workshop has to tell other programs: messages that
// were kept with the change they tell of (workshop.Letter), signed, those to one
// address in order, and again until they arrive.
//
// It calls no address inside the house's own network unless it is told to: whoever
// may write an address down could otherwise have the server ask its neighbours.
package courier
