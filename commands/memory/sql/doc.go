// Package sql keeps in a database what must outlive the program: which
// messages were seen, what was registered, what was talked about.
//
// # What a crash may cost
//
// The file is kept by SQLite in its write-ahead mode with synchronous NORMAL:
// a commit is handed to the operating system, which writes it out when the log
// is folded into the file. If the program dies, even by kill -9, all that was
// committed is there. If the machine loses power or its kernel dies, the last
// commits may be gone, as a whole and from the end; the file stays sound. So
// after a power cut a message of the last moments may be taken a second time.
// https://www.sqlite.org/pragma.html#pragma_synchronous
//
// # Who writes
//
// One goroutine writes, over one connection, so that no write waits for
// another's lock; marks that wait at the same moment share a commit. Readers
// have connections of their own and do not wait for the writer.
package sql
