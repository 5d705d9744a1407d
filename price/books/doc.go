// Package books is the arithmetic of a double-entry journal: accounts, entries that
// balance, reversal, periods and their closing, balances, profit by tag, documents
// that are numbered without gaps, and text for the accountant.
//
// An Entry moves money between accounts. Its lines are debits (above nothing) and
// credits (below nothing), and add up to nothing in each currency by itself: what
// goes out of one place arrives in another. Entries are numbered from 1 and never
// change. A mistake is undone by a reversal, the same entry with the signs turned,
// and done again right; both stay readable. A closed period takes no entries; it is
// reopened by reversing its closing, and closing it again gives the same sums.
//
// Check, Reversal and Closing are functions of what a store has at hand, so that a
// journal of millions of lines need not be read to add one. Journal puts them
// together in memory, and Audit goes through all entries of one.
//
// The package is pure and holds no sentences. It keeps a workshop's own books; what
// an accountant must file, and how, local rules say.
package books
