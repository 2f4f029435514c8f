package sql

import (
	"errors"
	"fmt"

	"modernc.org/sqlite"
	lib "modernc.org/sqlite/lib"
)

// plain puts before an error of the database what it means to who runs the bot.
func plain(err error) error {
	var e *sqlite.Error
	if !errors.As(err, &e) {
		return err
	}
	var means string
	switch e.Code() & 0xff { // the rest is detail. https://www.sqlite.org/rescode.html
	case lib.SQLITE_BUSY, lib.SQLITE_LOCKED:
		means = "another program holds the file: want it to let go"
	case lib.SQLITE_FULL:
		means = "there is no room left for the file: want more"
	case lib.SQLITE_CORRUPT:
		means = "the file is damaged: want it restored, or moved away to start anew"
	case lib.SQLITE_NOTADB:
		means = "the file is no database: want a file of ours, or a new one"
	case lib.SQLITE_CANTOPEN:
		means = "the file can't be opened: want a file that can be written, in a directory that can be written"
	case lib.SQLITE_READONLY, lib.SQLITE_PERM:
		means = "the file can't be written: want it, and its directory, writable"
	case lib.SQLITE_IOERR:
		means = "the disk fails to read or write the file"
	default:
		return err
	}
	return fmt.Errorf("%s (%w)", means, err)
}
