// Package care looks whether all is well with a server and what it keeps: the
// file, the sums, the papers' numbers, confirmed plans, the backups, the clock and
// the room on the disk.
//
// The command doctor and the page /keeping show the same findings (Server.Examine).
package care
