package sql

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"strconv"
	"sync"
	"time"

	"modernc.org/sqlite" // the driver "sqlite", in Go alone
	lib "modernc.org/sqlite/lib"

	"spokeword/commands/talk"
)

// InMemory is the path of a store that keeps nothing after Close.
const InMemory = ":memory:"

// Options of a Store.
type Options struct {
	// Now tells the time.
	Now func() time.Time
	// Ticks is the pulse of the store, once a second (time.Tick): at each tick
	// changed talks are written, and now and then what is old is deleted.
	Ticks <-chan time.Time
	// Log takes what failed in the background. May be nil.
	Log func(error)
	// Expiry is how long a talk is kept, 0 for talk.Expiry.
	Expiry time.Duration
	// Most is how many talks are kept, 0 for talk.MaxKept.
	Most int

	busy time.Duration // how long to wait for another program's lock, 0 for 5 s; tests wait less
}

// Store keeps what must outlive the program in one database file. It is safe
// for use by many goroutines, and by several programs on one file.
type Store struct {
	now    func() time.Time
	ticks  <-chan time.Time
	log    func(error)
	talks  *Talks
	writer *sql.DB // one connection
	reader *sql.DB // a pool that can't write; the writer itself if in memory

	insert *sql.Stmt // marks ids, for the writing goroutine alone
	marks  chan *mark

	// Of the writing goroutine alone.
	pruned, swept time.Time // when old marks and old talks were deleted
	failing       bool      // the last work in the background failed, and was logged

	once     sync.Once
	closing  chan struct{}
	ended    chan struct{}
	closeErr error
}

// ErrClosed is returned by a store that was closed.
var ErrClosed = errors.New("the store is closed")

// Open opens the store in a file, or makes it, for its owner only (0600), and
// brings its tables up to date. The directory must exist. It fails if the file
// is no database, belongs to another program or to a newer version of this
// one, or stays locked for five seconds; it changes no such file.
func Open(ctx context.Context, path string, o Options) (*Store, error) {
	if o.Now == nil || o.Ticks == nil {
		return nil, errors.New("store: found no clock: want Now and Ticks")
	}
	if o.Log == nil {
		o.Log = func(error) {}
	}
	if o.Expiry == 0 {
		o.Expiry = talk.Expiry
	}
	if o.Most == 0 {
		o.Most = talk.MaxKept
	}
	if o.busy == 0 {
		o.busy = 5 * time.Second
	}
	s := &Store{
		now: o.Now, ticks: o.Ticks, log: o.Log,
		talks:   newTalks(o),
		marks:   make(chan *mark),
		closing: make(chan struct{}),
		ended:   make(chan struct{}),
	}
	if err := s.open(ctx, path, o); err != nil {
		return nil, fmt.Errorf("store %s: %w", path, plain(err))
	}
	go s.write()
	return s, nil
}

func (s *Store) open(ctx context.Context, path string, o Options) (err error) {
	defer func() {
		if err != nil {
			s.shut()
		}
	}()
	if path == "" {
		return errors.New("found no path: want a file")
	}
	if path != InMemory {
		// SQLite would make the file readable by all; its log takes the mode of the file.
		f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o600)
		if err != nil {
			var at *os.PathError
			if errors.As(err, &at) {
				err = at.Err // the path is said already
			}
			return fmt.Errorf("%w: want a file that can be written, in a directory that exists", err)
		}
		f.Close()
	}
	if s.writer, err = connect(path, 1, o.busy, "synchronous(normal)", "foreign_keys(on)", "secure_delete(on)"); err != nil {
		return err
	}
	s.reader = s.writer
	if path != InMemory {
		if s.reader, err = connect(path, 4, o.busy, "query_only(on)", "foreign_keys(on)"); err != nil {
			return err
		}
	}
	if err := s.claim(ctx); err != nil {
		return err
	}
	if path != InMemory {
		mode, err := s.toWAL(ctx)
		if err != nil {
			return err
		}
		if mode != "wal" {
			return fmt.Errorf("journal mode %s: want a disk that can share memory between programs, as local ones can", mode)
		}
	}
	if err := s.migrate(ctx); err != nil {
		return err
	}
	if s.insert, err = s.writer.PrepareContext(ctx, insertSeen); err != nil {
		return err
	}
	return s.load(ctx)
}

// toWAL has the file write a log beside it and returns the mode it is in then.
// SQLite does not wait for others with that, as it does with all else: so a
// lock is waited for in between, some times. https://www.sqlite.org/wal.html
func (s *Store) toWAL(ctx context.Context) (mode string, err error) {
	const tries = 100
	for range tries {
		err = s.writer.QueryRowContext(ctx, "pragma journal_mode = wal").Scan(&mode)
		var e *sqlite.Error
		if !errors.As(err, &e) || e.Code()&0xff != lib.SQLITE_BUSY {
			return mode, err
		}
		if _, err := s.writer.ExecContext(ctx, "begin immediate; commit"); err != nil {
			return "", err
		}
	}
	return "", err
}

// cacheSize lets a connection keep 256 KiB of pages, not the usual 2 MB: what is
// asked for is small and asked once. https://www.sqlite.org/pragma.html#pragma_cache_size
const cacheSize = "cache_size(-256)"

// connect opens a pool of up to so many connections, each with the pragmas.
// A transaction takes the lock for writing at its begin: one that took it
// later could fail half-way, and could not just be waited for.
func connect(path string, most int, busy time.Duration, pragmas ...string) (*sql.DB, error) {
	q := url.Values{"_txlock": {"immediate"}}
	q.Add("_pragma", "busy_timeout("+strconv.FormatInt(busy.Milliseconds(), 10)+")")
	q.Add("_pragma", cacheSize)
	for _, p := range pragmas {
		q.Add("_pragma", p)
	}
	dsn := InMemory + "?" + q.Encode()
	if path != InMemory {
		name := url.URL{Path: filepath.ToSlash(path)} // a path may hold ? and %
		dsn = "file:" + name.EscapedPath() + "?" + q.Encode()
	}
	db, err := sql.Open("sqlite", dsn)
	if err != nil {
		return nil, err
	}
	db.SetMaxOpenConns(most)
	db.SetMaxIdleConns(most) // a store in memory lives as long as its connection
	return db, nil
}

// Close writes the talks that changed and closes the store. It may be called
// again; what is asked of the store afterwards fails with ErrClosed.
func (s *Store) Close() error {
	s.once.Do(func() {
		close(s.closing)
		<-s.ended
		s.closeErr = errors.Join(s.closeErr, s.shut())
	})
	return s.closeErr
}

// shut closes what was opened.
func (s *Store) shut() error {
	var errs []error
	if s.insert != nil {
		errs = append(errs, s.insert.Close())
	}
	if s.reader != nil && s.reader != s.writer {
		errs = append(errs, s.reader.Close())
	}
	if s.writer != nil {
		errs = append(errs, s.writer.Close()) // last: it folds the log into the file
	}
	return errors.Join(errs...)
}

// write is the goroutine that writes, until Close.
func (s *Store) write() {
	defer close(s.ended)
	for {
		select {
		case m := <-s.marks:
			s.commit(m)
		case <-s.ticks:
			s.tick()
		case <-s.closing:
			if err := s.flush(); err != nil {
				s.closeErr = fmt.Errorf("write talks: %w", plain(err))
			}
			return
		}
	}
}

// yield lets marks that wait go between two bites of work in the background.
func (s *Store) yield() {
	select {
	case m := <-s.marks:
		s.commit(m)
	default:
	}
}

// How often what is old is deleted. Talks may hold a rider's weight.
const (
	pruneEvery = time.Hour
	sweepEvery = time.Minute
)

// tick does the work in the background. What fails is tried again at the next
// tick, and logged once until it goes again.
func (s *Store) tick() {
	err := s.flush()
	if now := s.now(); err == nil && now.Sub(s.swept) >= sweepEvery {
		if err = s.sweep(now); err == nil {
			s.swept = now
		}
	}
	if now := s.now(); err == nil && now.Sub(s.pruned) >= pruneEvery {
		if err = s.prune(now); err == nil {
			s.pruned = now
		}
	}
	if err != nil && !s.failing {
		s.log(fmt.Errorf("store: %w", plain(err)))
	}
	s.failing = err != nil
}

// closed tells a store that was closed from what else may be wrong.
func (s *Store) closed(err error) error {
	select {
	case <-s.closing:
		if err != nil {
			return ErrClosed
		}
	default:
	}
	return plain(err)
}
