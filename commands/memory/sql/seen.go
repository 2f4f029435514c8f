package sql

import (
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode/utf8"
)

// SeenFor is how long a mark is kept at least. Chat services repeat a message
// that was not acknowledged within minutes; a day is far beyond that.
const SeenFor = 24 * time.Hour

const (
	batchMost = 256  // marks that share a commit
	idMost    = 512  // bytes of an id
	bite      = 1000 // marks looked at in one transaction when old ones are deleted
)

// insertSeen marks the ids of a JSON array and returns those that are new. One
// statement for a whole batch, it is its own transaction.
const insertSeen = `insert into seen (id, at) select value, ? from json_each(?) where true
	on conflict (id) do nothing returning id`

// mark is a call of Mark that waits for its commit.
type mark struct {
	ctx  context.Context
	ids  []string
	done chan marked // with room for one: the writer never waits
}

type marked struct {
	first bool
	err   error
}

// Mark marks the ids of one message as seen, all or none. It returns true if
// none of them was: the first call for any of its ids alone may act on the
// message. When it returns without an error the marks survive the program, see
// the package's comment. They are kept for SeenFor at least.
//
// On an error the ids of a message may or may not be marked: ctx may end while
// the commit is under way. An id is 1 to 512 bytes of UTF-8 without NUL.
func (s *Store) Mark(ctx context.Context, ids ...string) (first bool, err error) {
	if len(ids) == 0 {
		return false, fmt.Errorf("mark: found no id: want one or more")
	}
	for _, id := range ids {
		if id == "" || len(id) > idMost || !utf8.ValidString(id) || strings.IndexByte(id, 0) >= 0 {
			return false, fmt.Errorf("mark: id of %d bytes: want 1 to %d bytes of UTF-8 without NUL", len(id), idMost)
		}
	}
	if err := ctx.Err(); err != nil {
		return false, fmt.Errorf("mark: %w", err)
	}
	m := &mark{ctx: ctx, ids: ids, done: make(chan marked, 1)}
	select {
	case s.marks <- m:
	case <-s.closing:
		return false, fmt.Errorf("mark: %w", ErrClosed)
	case <-ctx.Done():
		return false, fmt.Errorf("mark: %w", ctx.Err())
	}
	select {
	case r := <-m.done:
		return r.first, r.err
	case <-ctx.Done():
		return false, fmt.Errorf("mark: %w", ctx.Err())
	}
}

// commit marks the ids of m, and of the calls that wait at this moment, in one
// transaction.
func (s *Store) commit(m *mark) {
	batch := append(make([]*mark, 0, 16), m)
	for waiting := true; waiting && len(batch) < batchMost; {
		select {
		case m := <-s.marks:
			batch = append(batch, m)
		default:
			waiting = false
		}
	}
	// Where the caller has gone, the message is left to whoever brings it again.
	batch = slices.DeleteFunc(batch, func(m *mark) bool { return m.ctx.Err() != nil })
	if len(batch) == 0 {
		return
	}
	var ids []string
	for _, m := range batch {
		ids = append(ids, m.ids...)
	}
	fresh, err := s.insertIDs(ids)
	if err != nil {
		err = fmt.Errorf("mark: %w", plain(err))
	}
	for _, m := range batch {
		first := err == nil
		for _, id := range m.ids {
			first = first && fresh[id]
		}
		for _, id := range m.ids {
			delete(fresh, id) // only one of a batch is the first
		}
		m.done <- marked{first, err}
	}
}

// insertIDs marks ids and returns those that are new.
func (s *Store) insertIDs(ids []string) (map[string]bool, error) {
	list, err := json.Marshal(ids)
	if err != nil {
		return nil, err
	}
	// Not for one caller's context: the commit is everyone's.
	rows, err := s.insert.QueryContext(context.Background(), s.now().UnixMilli(), string(list))
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	fresh := make(map[string]bool, len(ids))
	for rows.Next() { // to the end: the last step commits
		var id string
		if err := rows.Scan(&id); err != nil {
			return nil, err
		}
		fresh[id] = true
	}
	return fresh, rows.Err()
}

// prune deletes the marks older than SeenFor. It walks the table by its key,
// a bite at a time: an index of the times would make every mark dearer, for a
// walk of once an hour.
func (s *Store) prune(now time.Time) error {
	ctx, before, from := context.Background(), now.Add(-SeenFor).UnixMilli(), ""
	for {
		var to sql.NullString
		err := s.writer.QueryRowContext(ctx, `select max(id) from (select id from seen where id > ? order by id limit ?)`, from, bite).Scan(&to)
		if err != nil || !to.Valid {
			return err
		}
		if _, err := s.writer.ExecContext(ctx, `delete from seen where id > ? and id <= ? and at < ?`, from, to.String, before); err != nil {
			return err
		}
		from = to.String
		s.yield()
	}
}
