// Package pricefile reads quote files: YAML that says what an order takes and how
// it is to be sold, for package price. Amounts are in the file's currency, or have
// the code of another before them, which then needs a rate.
//
// Begin with Read.
package pricefile
