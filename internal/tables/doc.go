// Package tables reads and writes tables as spreadsheets have them: CSV and XLSX.
//
// What people send is of any making: separated by semicolons, commas or tabs, in
// UTF-8, UTF-16 or Windows-1252, with a decimal comma or point, with dates in their
// country's order. Read gives rows of cells with the line each stands on; Numbers
// and Dates tell from the whole table how it writes numbers and dates, and what can
// be read in two ways is refused.
//
// In what is written (WriteCSV, WriteXLSX) no text is a formula.
package tables
