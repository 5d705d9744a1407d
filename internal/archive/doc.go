// Package archive takes what a database keeps out of the house and brings it in
// again.
//
// A backup (Backup, Restore, Keeper) is everything of a server as it was at one
// moment, for the same program: a SQLite file with its checksum in a zip. An export
// (Export, Import) is one workshop or all of them in open formats for anybody: each
// table as CSV and as JSON Lines, files as they are, and what it all means in words.
//
// Whatever comes in is first laid out in a new SQLite file, brought up to this
// program's version and looked at whole. Only then is anything replaced or added.
//
// The formats are described in docs/backup.md.
package archive
