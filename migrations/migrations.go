// Package migrations holds the steps that bring a database up to date, as
// numbered SQL files. A step that has been released is never edited.
package migrations

import "embed"

// Files are the numbered steps.
//
//go:embed *.sql
var Files embed.FS
