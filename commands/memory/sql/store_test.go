package sql

import (
	"bufio"
	"context"
	"database/sql"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"modernc.org/sqlite"

	"spokeword/calc/quantity"
	"spokeword/commands"
	"spokeword/commands/reply"
	"spokeword/commands/talk"
)

// clock is a time, and ticks, that tests move.
type clock struct {
	now   atomic.Int64 // nanoseconds
	ticks chan time.Time
}

func newClock() *clock {
	c := &clock{ticks: make(chan time.Time)}
	c.now.Store(time.Date(2030, time.May, 4, 12, 0, 0, 0, time.UTC).UnixNano())
	return c
}

func (c *clock) tell() time.Time      { return time.Unix(0, c.now.Load()) }
func (c *clock) move(d time.Duration) { c.now.Add(int64(d)) }

// tick ticks and waits until the work is done: the store takes the second tick
// only after it has done the first one's.
func (c *clock) tick() {
	c.ticks <- c.tell()
	c.ticks <- c.tell()
}

// file returns the path of a store that is not there yet. The name holds what
// an address of a file would have to escape.
func file(t testing.TB) string { return filepath.Join(t.TempDir(), "store?a=b%20#c.db") }

func options(t testing.TB, c *clock) Options {
	return Options{Now: c.tell, Ticks: c.ticks, Log: func(err error) { t.Errorf("logged: %v", err) }}
}

// open opens a store that is closed at the end of the test.
func open(t testing.TB, path string, o Options) *Store {
	s, err := Open(context.Background(), path, o)
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, s.Close()) })
	return s
}

func marked1(t testing.TB, s *Store, ids ...string) bool {
	first, err := s.Mark(context.Background(), ids...)
	require.NoError(t, err)
	return first
}

func TestAMarkIsFirstOnce(t *testing.T) {
	for _, path := range []string{InMemory, file(t)} {
		s := open(t, path, options(t, newClock()))
		assert.True(t, marked1(t, s, "event 1", "channel 5/ts 7"))
		assert.False(t, marked1(t, s, "event 1", "channel 5/ts 7"), "the same again")
		assert.False(t, marked1(t, s, "event 2", "channel 5/ts 7"), "the same message as another event")
		assert.False(t, marked1(t, s, "event 2"), "it was marked although its message was known")
		assert.True(t, marked1(t, s, "event 3", "event 3"), "one id twice in a message")
		assert.True(t, marked1(t, s, "00"), "ids are texts")
		assert.True(t, marked1(t, s, "0"), "ids are texts")
		assert.True(t, marked1(t, s, `"&<>é'); drop table seen`), "of any letters")
		assert.False(t, marked1(t, s, `"&<>é'); drop table seen`))
	}
}

func TestAnUnfitIDIsRefused(t *testing.T) {
	s := open(t, InMemory, options(t, newClock()))
	for _, ids := range [][]string{{}, {""}, {"a", ""}, {strings.Repeat("x", 513)}, {"a\x00b"}, {"\xff"}} {
		first, err := s.Mark(context.Background(), ids...)
		assert.ErrorContains(t, err, "want", "%q", ids)
		assert.False(t, first)
	}
	assert.True(t, marked1(t, s, "a"), "of a refused message nothing was marked")
	assert.True(t, marked1(t, s, strings.Repeat("x", 512)))
}

// TestManyMarkAtOnce marks each id from several goroutines: one alone is first,
// and when it hears so another connection sees the mark: it is committed.
func TestManyMarkAtOnce(t *testing.T) {
	s := open(t, file(t), options(t, newClock()))
	const ids, each = 300, 4
	var firsts [ids]atomic.Int32
	var all sync.WaitGroup
	for range each {
		for i := range ids {
			all.Go(func() {
				first, err := s.Mark(context.Background(), fmt.Sprint("event ", i), fmt.Sprint("message ", i))
				if assert.NoError(t, err) && first {
					firsts[i].Add(1)
				}
				var there int
				if err := s.reader.QueryRow("select count(*) from seen where id = ?", fmt.Sprint("event ", i)).Scan(&there); assert.NoError(t, err) {
					assert.Equal(t, 1, there, "not committed")
				}
			})
		}
	}
	all.Wait()
	for i := range firsts {
		assert.EqualValues(t, 1, firsts[i].Load(), "id %d", i)
	}
}

// TestOneOfABatchIsFirst holds the writer back, so that all wait together.
func TestOneOfABatchIsFirst(t *testing.T) {
	s := &Store{now: newClock().tell, marks: make(chan *mark, 8), closing: make(chan struct{})}
	db := open(t, InMemory, options(t, newClock()))
	s.insert = db.insert
	gone, leave := context.WithCancel(context.Background())
	leave()
	make := func(ctx context.Context, ids ...string) *mark {
		return &mark{ctx: ctx, ids: ids, done: make(chan marked, 1)}
	}
	batch := []*mark{
		make(context.Background(), "x", "y"),
		make(context.Background(), "y", "z"),
		make(gone, "w"),
		make(context.Background(), "w"),
		make(context.Background(), "x"),
		make(context.Background(), "z"),
	}
	for _, m := range batch[1:] {
		s.marks <- m
	}
	s.commit(batch[0])
	var got []bool
	for i, m := range batch {
		if i == 2 {
			assert.Empty(t, m.done)
			continue
		}
		r := <-m.done
		require.NoError(t, r.err)
		got = append(got, r.first)
	}
	assert.Equal(t, []bool{true, false, true, false, false}, got)
}

func TestAMarkEndsWithItsContext(t *testing.T) {
	s := open(t, InMemory, options(t, newClock()))
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err := s.Mark(ctx, "a")
	assert.ErrorIs(t, err, context.Canceled)
	assert.True(t, marked1(t, s, "a"))

	// The writer is held back by its connection.
	conn, err := s.writer.Conn(context.Background())
	require.NoError(t, err)
	held := make(chan error, 1)
	go func() { _, err := s.Mark(context.Background(), "b"); held <- err }()
	ctx, cancel = context.WithCancel(context.Background())
	waits := make(chan error, 1)
	go func() { _, err := s.Mark(ctx, "c"); waits <- err }()
	cancel()
	assert.ErrorIs(t, <-waits, context.Canceled)
	require.NoError(t, conn.Close())
	assert.NoError(t, <-held)
}

func TestOldMarksGo(t *testing.T) {
	c := newClock()
	s := open(t, InMemory, options(t, c))
	many := make([]string, 0, 2*bite+7)
	for i := range cap(many) {
		many = append(many, fmt.Sprint("old ", i))
	}
	require.True(t, marked1(t, s, many...))
	c.move(SeenFor)
	require.True(t, marked1(t, s, "new"))
	c.tick()
	assert.False(t, marked1(t, s, many[0]), "kept for the whole day")
	c.move(pruneEvery)
	c.tick()
	var left int
	require.NoError(t, s.reader.QueryRow("select count(*) from seen").Scan(&left))
	assert.Equal(t, 1, left)
	assert.False(t, marked1(t, s, "new"))
	assert.True(t, marked1(t, s, many[0]))
}

func TestWhatWasRegistered(t *testing.T) {
	for _, path := range []string{InMemory, file(t)} {
		ctx, s := context.Background(), open(t, path, options(t, newClock()))
		hash := func(name string) string {
			h, err := s.Registered(ctx, name)
			require.NoError(t, err)
			return h
		}
		assert.Empty(t, hash("commands"))
		require.NoError(t, s.SetRegistered(ctx, "commands", "a1"))
		require.NoError(t, s.SetRegistered(ctx, "commands", "b2"))
		assert.Equal(t, "b2", hash("commands"))
		assert.Empty(t, hash("others"))
	}
}

func TestAStoreOutlivesItsProgram(t *testing.T) {
	path, c := file(t), newClock()
	s := open(t, path, options(t, c))
	marked1(t, s, "a")
	require.NoError(t, s.SetRegistered(context.Background(), "commands", "a1"))
	s.Talks().Put(talk.Key{User: "ann"}, talk.State{Base: "convert"})
	require.NoError(t, s.Close())
	require.NoError(t, s.Close(), "again")

	for what, err := range map[string]error{
		"mark":           func() error { _, err := s.Mark(context.Background(), "b"); return err }(),
		"registered":     func() error { _, err := s.Registered(context.Background(), "b"); return err }(),
		"set registered": s.SetRegistered(context.Background(), "b", "c"),
		"ping":           s.Ping(context.Background()),
	} {
		assert.ErrorIs(t, err, ErrClosed, what)
	}

	entries, err := os.ReadDir(filepath.Dir(path))
	require.NoError(t, err)
	require.Len(t, entries, 1, "its log is folded in")
	info, err := os.Stat(path)
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o600), info.Mode())

	s = open(t, path, options(t, c))
	assert.False(t, marked1(t, s, "a"))
	assert.True(t, marked1(t, s, "b"))
	hash, err := s.Registered(context.Background(), "commands")
	require.NoError(t, err)
	assert.Equal(t, "a1", hash)
	assert.Equal(t, "convert", s.Talks().Get(talk.Key{User: "ann"}).Base)
	for _, f := range []string{path, path + "-wal", path + "-shm"} {
		info, err := os.Stat(f)
		require.NoError(t, err)
		assert.Equal(t, os.FileMode(0o600), info.Mode(), "it may hold a rider's weight")
	}
}

func TestTheFileIsSetUp(t *testing.T) {
	s := open(t, file(t), options(t, newClock()))
	for _, x := range []struct {
		db         *sql.DB
		name, want string
	}{
		{s.writer, "journal_mode", "wal"},
		{s.writer, "synchronous", "1"},
		{s.writer, "busy_timeout", "5000"},
		{s.writer, "foreign_keys", "1"},
		{s.writer, "secure_delete", "1"},
		{s.reader, "query_only", "1"},
		{s.reader, "busy_timeout", "5000"},
		{s.reader, "foreign_keys", "1"},
	} {
		var got string
		require.NoError(t, x.db.QueryRow("pragma "+x.name).Scan(&got))
		assert.Equal(t, x.want, got, x.name)
	}
	have, want, err := s.Current(context.Background())
	require.NoError(t, err)
	assert.Equal(t, newest(), have)
	assert.Equal(t, newest(), want)
	assert.Positive(t, want)
	assert.NoError(t, s.Ping(context.Background()))
}

// TestLookUpsUseAnIndex holds that nothing grows slower with the tables.
func TestLookUpsUseAnIndex(t *testing.T) {
	s := open(t, InMemory, options(t, newClock()))
	for _, q := range []string{
		"select id from seen where id > 'a' order by id limit 10",
		"delete from seen where id > 'a' and id <= 'b' and at < 5",
		"select hash from registered where name = 'a'",
		"select at from talk order by at desc limit 1 offset 10",
		"delete from talk where at < 5",
		"delete from talk where workspace = 'a' and channel = 'b' and person = 'c'",
	} {
		rows, err := s.writer.Query("explain query plan " + q)
		require.NoError(t, err)
		for rows.Next() {
			var id, parent, unused int
			var detail string
			require.NoError(t, rows.Scan(&id, &parent, &unused, &detail))
			assert.Regexp(t, "INDEX|PRIMARY KEY", detail, q)
		}
		require.NoError(t, rows.Close())
	}
}

func TestManyOpenANewFileAtOnce(t *testing.T) {
	path, c := file(t), newClock()
	var all sync.WaitGroup
	for i := range 4 {
		all.Go(func() {
			s, err := Open(context.Background(), path, options(t, c))
			if assert.NoError(t, err) {
				assert.True(t, marked1(t, s, fmt.Sprint(i)))
				assert.NoError(t, s.Ping(context.Background()))
				assert.NoError(t, s.Close())
			}
		})
	}
	all.Wait()
}

func TestAFileThatIsNotOursIsLeftAlone(t *testing.T) {
	other := func(statements ...string) func(*testing.T, string) {
		return func(t *testing.T, path string) {
			db, err := connect(path, 1, time.Second)
			require.NoError(t, err)
			defer db.Close()
			for _, q := range statements {
				_, err := db.Exec(q)
				require.NoError(t, err)
			}
		}
	}
	for _, x := range []struct {
		why, want string
		make      func(*testing.T, string)
	}{
		{"no database", "no database", func(t *testing.T, p string) {
			require.NoError(t, os.WriteFile(p, []byte(strings.Repeat("not a database. ", 512)), 0o600))
		}},
		{"another's tables", "another program", other("create table bikes (id)")},
		{"another's mark", "another program", other("pragma application_id = 7", "pragma user_version = 1")},
		{"a newer version", "newer version", func(t *testing.T, p string) {
			require.NoError(t, open(t, p, options(t, newClock())).Close())
			other("insert into schema_version (version_id, is_applied) values (999, true)", "pragma wal_checkpoint(truncate)")(t, p)
		}},
		{"a directory", "want a file", func(t *testing.T, p string) { require.NoError(t, os.Mkdir(p, 0o700)) }},
	} {
		path := file(t)
		x.make(t, path)
		before, _ := os.ReadFile(path)
		s, err := Open(context.Background(), path, options(t, newClock()))
		if assert.ErrorContains(t, err, x.want, x.why) {
			assert.Equal(t, 1, strings.Count(err.Error(), path), "%v", err)
			after, _ := os.ReadFile(path)
			assert.Equal(t, before, after, "%s: it was changed", x.why)
			continue
		}
		s.Close()
	}
	for _, path := range []string{"", filepath.Join(t.TempDir(), "nowhere", "store.db")} {
		_, err := Open(context.Background(), path, options(t, newClock()))
		assert.ErrorContains(t, err, "want", path)
		if path != "" {
			assert.Equal(t, 1, strings.Count(err.Error(), path), "%v", err)
		}
	}
	_, err := Open(context.Background(), InMemory, Options{})
	assert.ErrorContains(t, err, "want Now and Ticks")
}

// TestADamagedFile overwrites all pages but the first with rubbish.
func TestADamagedFile(t *testing.T) {
	path, c := file(t), newClock()
	s := open(t, path, options(t, c))
	for i := range 50 {
		marked1(t, s, fmt.Sprint(i))
	}
	require.NoError(t, s.Close())
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	for i := 4096; i < len(data); i++ {
		data[i] = byte(i * 7)
	}
	require.NoError(t, os.WriteFile(path, data, 0o600))
	_, err = Open(context.Background(), path, options(t, c))
	assert.ErrorContains(t, err, "damaged")
}

// TestATableGoneBad damages what Mark writes to, while the store is open.
func TestATableGoneBad(t *testing.T) {
	path, c := file(t), newClock()
	s := open(t, path, options(t, c))
	require.True(t, marked1(t, s, "a"))
	for _, q := range []string{"pragma wal_checkpoint(truncate)", "pragma cache_size = 0"} {
		_, err := s.writer.Exec(q)
		require.NoError(t, err)
	}
	var root int64
	require.NoError(t, s.reader.QueryRow("select rootpage from sqlite_schema where name = 'seen'").Scan(&root))
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	require.NoError(t, err)
	defer f.Close()
	page := make([]byte, 4096)
	_, err = f.ReadAt(page, (root-1)*4096)
	require.NoError(t, err)
	_, err = f.WriteAt([]byte(strings.Repeat("\xee", 4096)), (root-1)*4096)
	require.NoError(t, err)
	again := func() { // another program's commit makes the store read its pages again
		other, err := connect(path, 1, time.Second)
		require.NoError(t, err)
		_, err = other.Exec("insert into registered values ('b', 'c', 1) on conflict do update set at = at + 1")
		require.NoError(t, err)
		require.NoError(t, other.Close())
	}
	again()

	first, err := s.Mark(context.Background(), "b")
	assert.ErrorContains(t, err, "damaged")
	assert.False(t, first)
	_, err = f.WriteAt(page, (root-1)*4096)
	require.NoError(t, err)
	again()
	assert.True(t, marked1(t, s, "b"), "the writer goes on")
}

func TestADiskThatIsFull(t *testing.T) {
	c := newClock()
	var logged []error
	o := options(t, c)
	o.Log = func(err error) { logged = append(logged, err) }
	s := open(t, file(t), o)
	limit := func(pages string) {
		_, err := s.writer.Exec("pragma max_page_count = " + pages)
		require.NoError(t, err)
	}
	limit("20")
	var err error
	full := 0
	for ; err == nil && full < 1000; full++ {
		_, err = s.Mark(context.Background(), fmt.Sprint(strings.Repeat("x", 500), full))
	}
	full--
	require.ErrorContains(t, err, "no room left")
	s.Talks().Put(talk.Key{User: "ann"}, talk.State{Base: strings.Repeat("b", 20000)})
	c.tick()
	c.tick()
	limit("10000")
	assert.True(t, marked1(t, s, fmt.Sprint(strings.Repeat("x", 500), full)), "it was not marked, and can be now")
	assert.False(t, marked1(t, s, fmt.Sprint(strings.Repeat("x", 500), full-1)), "what fitted is there")
	c.tick()
	require.Len(t, logged, 1, "once, not at every tick")
	assert.ErrorContains(t, logged[0], "no room left")
	assert.Len(t, talksIn(t, s), 1, "the talk was written in the end")
}

// TestACommitThatFails: what was inserted is taken back, so it was not marked.
func TestACommitThatFails(t *testing.T) {
	s := open(t, file(t), options(t, newClock()))
	hook := func(h func() int32) {
		conn, err := s.writer.Conn(context.Background())
		require.NoError(t, err)
		defer conn.Close()
		require.NoError(t, conn.Raw(func(c any) error { c.(sqlite.HookRegisterer).RegisterCommitHook(h); return nil }))
	}
	hook(func() int32 { return 1 })
	first, err := s.Mark(context.Background(), "a", "b")
	assert.Error(t, err)
	assert.False(t, first)
	hook(nil)
	assert.True(t, marked1(t, s, "a"))
}

// talksIn returns the bases of the talks in the database.
func talksIn(t testing.TB, s *Store) []string {
	rows, err := s.reader.Query("select base from talk order by at, base")
	require.NoError(t, err)
	defer rows.Close()
	var all []string
	for rows.Next() {
		var b string
		require.NoError(t, rows.Scan(&b))
		all = append(all, b)
	}
	require.NoError(t, rows.Err())
	return all
}

func TestTalksAreWrittenAtTheNextTick(t *testing.T) {
	path, c := file(t), newClock()
	o := options(t, c)
	o.Most = 3
	s := open(t, path, o)
	ann := talk.Key{Workspace: "local", Channel: "workshop", User: "ann"}
	s.Talks().Put(ann, talk.State{Base: "one"})
	s.Talks().Put(ann, talk.State{Base: "two"})
	assert.Empty(t, talksIn(t, s), "an answer does not wait for the database")
	assert.Equal(t, "two", s.Talks().Get(ann).Base)
	c.tick()
	assert.Equal(t, []string{"two"}, talksIn(t, s))

	s.Talks().Put(ann, talk.State{})
	c.tick()
	assert.Empty(t, talksIn(t, s), "a talk that is over is deleted")
	marked1(t, s, "idle") // the second tick's work is done when this is, so it writes none of what follows

	for i := range 600 { // more than one bite, more than are kept
		c.move(time.Millisecond)
		s.Talks().Put(talk.Key{User: fmt.Sprint(i)}, talk.State{Base: fmt.Sprint(i)})
	}
	c.tick()
	assert.Equal(t, []string{"597", "598", "599"}, talksIn(t, s))
	marked1(t, s, "idle again")
	c.move(time.Minute)
	s.Talks().Put(ann, talk.State{Base: "ann"})
	c.tick()
	assert.Equal(t, []string{"598", "599", "ann"}, talksIn(t, s), "the oldest is swept")
	assert.Equal(t, 3, s.Talks().Len())

	require.NoError(t, s.Close())
	c.move(talk.Expiry - 30*time.Second)
	s = open(t, path, o)
	assert.Equal(t, 1, s.Talks().Len(), "the others have expired")
	assert.Equal(t, "ann", s.Talks().Get(ann).Base)
	c.tick()
	assert.Equal(t, []string{"ann"}, talksIn(t, s))
	c.move(time.Minute)
	assert.Empty(t, s.Talks().Get(ann).Base, "its time goes on over a restart")
	c.tick()
	assert.Empty(t, talksIn(t, s))
}

func TestTheOldestTalkGoesFirstAfterARestart(t *testing.T) {
	path, c := file(t), newClock()
	o := options(t, c)
	o.Most = 3
	s := open(t, path, o)
	for _, u := range []string{"ann", "ben", "cat", "ann"} {
		c.move(time.Second)
		s.Talks().Put(talk.Key{User: u}, talk.State{Base: u})
	}
	require.NoError(t, s.Close())
	s = open(t, path, o)
	s.Talks().Put(talk.Key{User: "dan"}, talk.State{Base: "dan"})
	assert.Empty(t, s.Talks().Get(talk.Key{User: "ben"}).Base)
	for _, u := range []string{"ann", "cat", "dan"} {
		assert.Equal(t, u, s.Talks().Get(talk.Key{User: u}).Base)
	}
}

// TestWhatIsDeletedIsOverwritten looks for a weight in the bytes of the file.
func TestWhatIsDeletedIsOverwritten(t *testing.T) {
	path, c := file(t), newClock()
	s := open(t, path, options(t, c))
	const weight = "83.71 kg"
	s.Talks().Put(talk.Key{User: "ann"}, talk.State{Base: `pressure rider:"` + weight + `"`})
	c.tick()
	holds := func() bool {
		_, err := s.writer.Exec("pragma wal_checkpoint(truncate)")
		require.NoError(t, err)
		data, err := os.ReadFile(path)
		require.NoError(t, err)
		return strings.Contains(string(data), weight)
	}
	require.True(t, holds())
	c.move(talk.Expiry + time.Minute)
	c.tick()
	assert.False(t, holds())
}

func TestAStateComesBackAsItWas(t *testing.T) {
	path, c := file(t), newClock()
	s := open(t, path, options(t, c))
	k := talk.Key{Workspace: "local", Channel: "workshop", User: "ann"}
	want := talk.State{
		Base:    `pressure tyre:29x2.4`,
		Pending: `pressure tyre:29x2.4`,
		Offers:  []string{"why", `pressure tyre:29x2.4 rider:"80 kg"`},
		Asking:  &reply.Ask{Option: "rider", Text: "What do you weigh?", Choices: []reply.Action{{Label: "70 kg", Line: `pressure rider:"70 kg" tyre:29x2.4`}, {Label: "80 kg", Line: "b"}}},
		Last: &reply.Reply{
			Line: `fit tyre:29x2.4`, Private: true,
			Read:    []reply.Item{{Option: "tyre", Value: "29x2.4"}, {Option: "rider", Value: "80 kg", Why: "typed as 80", Personal: true}},
			Assumed: []reply.Item{{Option: "rim", Value: "30 mm", Why: "common"}},
			Explain: func(*reply.Reply) {}, Lead: []string{"not kept"},
		},
	}
	want.Shown[quantity.KindPressure], want.Shown[quantity.KindMass] = quantity.KPAUnit, quantity.LB
	s.Talks().Put(k, want)
	for range 2 { // a state that came back is kept as well
		require.NoError(t, s.Close())
		s = open(t, path, options(t, c))
		got := s.Talks().Get(k)
		assert.True(t, got.At.Equal(c.tell()))
		got.At = time.Time{}
		w := want
		w.Last = &reply.Reply{Line: want.Last.Line, Private: true, Read: want.Last.Read, Assumed: want.Last.Assumed, Recalled: true}
		assert.Equal(t, w, got)
		s.Talks().Put(k, got)
	}
}

func TestATalkThatCanNotBeReadIsLeftOut(t *testing.T) {
	path, c := file(t), newClock()
	s := open(t, path, options(t, c))
	for _, u := range []string{"ann", "ben", "cat"} {
		s.Talks().Put(talk.Key{User: u}, talk.State{Base: u})
	}
	c.tick()
	for _, q := range []string{"update talk set asking = '{\"option\"' where person = 'ann'", "update talk set last = '[]' where person = 'ben'"} {
		_, err := s.writer.Exec(q)
		require.NoError(t, err)
	}
	require.NoError(t, s.Close())
	logged := 0
	o := options(t, c)
	o.Log = func(error) { logged++ }
	s = open(t, path, o)
	assert.Equal(t, 2, logged)
	assert.Equal(t, "cat", s.Talks().Get(talk.Key{User: "cat"}).Base)
	assert.Equal(t, 1, s.Talks().Len())
}

// TestATalkGoesOnAfterARestart asks at a desk, restarts, and asks on.
func TestATalkGoesOnAfterARestart(t *testing.T) {
	path, c := file(t), newClock()
	ctx, who := context.Background(), commands.Asker{Workspace: "local", User: "ann"}
	start := func() (*Store, func(string) reply.Reply) {
		s := open(t, path, options(t, c))
		desk, err := commands.NewDesk(commands.Deps{Now: c.tell, Talk: s.Talks(), Log: func(err error) string {
			t.Errorf("fault: %v", err)
			return "0"
		}})
		require.NoError(t, err)
		return s, func(line string) reply.Reply {
			r := desk.Ask(ctx, who, line)
			require.Len(t, r, 1)
			return r[0]
		}
	}
	s, ask := start()
	answer := ask("80kg 29x2.4 i30 trail psi?")
	before := ask("why")
	require.NoError(t, s.Close())

	s, ask = start()
	assert.Equal(t, before, ask("why"), "the working is the same")
	assert.Contains(t, ask("in bar").Lead[0], " bar (")
	require.NoError(t, s.Close())

	s, ask = start()
	wet := ask("same but wet")
	assert.Contains(t, wet.Line, `rider:"80 kg"`)
	assert.Contains(t, wet.Lead[0], " bar (", "the talk goes on in bar")
	assert.NotEqual(t, answer.Line, wet.Line)
	require.NotNil(t, ask("29x2.3 30i trail psi?").Ask)
	require.NoError(t, s.Close())

	_, ask = start()
	assert.Contains(t, ask("85").Line, `rider:"85 kg"`, "the question was still open")
}

// The tests below run this binary once more as another program.

const roleEnv, pathEnv = "SPOKEWORD_TEST_ROLE", "SPOKEWORD_TEST_STORE"

func TestMain(m *testing.M) {
	var err error
	switch os.Getenv(roleEnv) {
	case "":
		os.Exit(m.Run())
	case "marker":
		err = markForEver(os.Getenv(pathEnv))
	case "holder":
		err = holdLock(os.Getenv(pathEnv))
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// markForEver marks ids from many goroutines, and writes each that was marked.
func markForEver(path string) error {
	ticks := make(chan time.Time)
	s, err := Open(context.Background(), path, Options{Now: time.Now, Ticks: ticks})
	if err != nil {
		return err
	}
	failed := make(chan error)
	for g := range 16 {
		go func() {
			for i := 0; ; i++ {
				id := fmt.Sprintf("%d/%d", g, i)
				s.Talks().Put(talk.Key{User: id}, talk.State{Base: id})
				first, err := s.Mark(context.Background(), id, "message "+id)
				if err == nil && first {
					_, err = fmt.Println(id) // one write each: whole or not at all
				}
				if err != nil || !first {
					failed <- fmt.Errorf("mark %s: first %v, %v", id, first, err)
					return
				}
			}
		}()
	}
	go func() {
		for { // write talks all the time, too
			ticks <- time.Now()
		}
	}()
	return <-failed
}

// holdLock holds the lock for writing until its input ends.
func holdLock(path string) error {
	db, err := connect(path, 1, time.Second)
	if err != nil {
		return err
	}
	tx, err := db.Begin()
	if err != nil {
		return err
	}
	fmt.Println("held")
	if _, err := io.Copy(io.Discard, os.Stdin); err != nil {
		return err
	}
	return tx.Rollback()
}

// another starts this binary in a role, with its standard output.
func another(t testing.TB, role, path string) (*exec.Cmd, io.WriteCloser, *bufio.Scanner) {
	self, err := os.Executable()
	require.NoError(t, err)
	cmd := exec.Command(self)
	cmd.Env = append(os.Environ(), roleEnv+"="+role, pathEnv+"="+path)
	cmd.Stderr = os.Stderr
	in, err := cmd.StdinPipe()
	require.NoError(t, err)
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	t.Cleanup(func() { cmd.Process.Kill() })
	return cmd, in, bufio.NewScanner(out)
}

// TestAKillCostsNoMark kills the program while it marks, several times on one file.
func TestAKillCostsNoMark(t *testing.T) {
	for round := range 5 {
		path := file(t)
		cmd, _, out := another(t, "marker", path)
		var ids []string
		for n := 200 + 137*round; len(ids) < n && out.Scan(); {
			ids = append(ids, out.Text())
		}
		require.NoError(t, cmd.Process.Kill()) // SIGKILL
		for out.Scan() {
			ids = append(ids, out.Text())
		}
		require.ErrorContains(t, cmd.Wait(), "killed")

		s := open(t, path, options(t, newClock()))
		var sound string
		require.NoError(t, s.reader.QueryRow("pragma integrity_check").Scan(&sound))
		assert.Equal(t, "ok", sound)
		var halves int
		require.NoError(t, s.reader.QueryRow("select count(*) from seen s where id not like 'message %' and not exists (select 1 from seen where id = 'message ' || s.id)").Scan(&halves))
		assert.Zero(t, halves, "a message's ids are marked together")
		for _, id := range ids {
			require.False(t, marked1(t, s, id), "the mark of %s was lost", id)
		}
		assert.True(t, marked1(t, s, "never marked"))
		require.NoError(t, s.Close())
	}
}

func TestAnotherProgramHoldsTheFile(t *testing.T) {
	path, c := file(t), newClock()
	o := options(t, c)
	o.busy = time.Millisecond
	var logged []error
	o.Log = func(err error) { logged = append(logged, err) }
	s := open(t, path, o)
	require.True(t, marked1(t, s, "a"))
	cmd, in, out := another(t, "holder", path)
	require.True(t, out.Scan())
	require.Equal(t, "held", out.Text())

	_, err := s.Mark(context.Background(), "b")
	assert.ErrorContains(t, err, "another program holds")
	s.Talks().Put(talk.Key{User: "ann"}, talk.State{Base: "b"})
	c.tick()
	assert.Equal(t, "b", s.Talks().Get(talk.Key{User: "ann"}).Base)
	_, err = s.Registered(context.Background(), "commands")
	assert.NoError(t, err, "readers do not wait")
	assert.NoError(t, s.Ping(context.Background()))
	_, err = Open(context.Background(), path, o)
	assert.ErrorContains(t, err, "another program holds")

	require.NoError(t, in.Close())
	require.NoError(t, cmd.Wait())
	assert.True(t, marked1(t, s, "b"), "it was not marked, and can be now")
	c.tick()
	assert.Len(t, talksIn(t, s), 1)
	require.Len(t, logged, 1)
	assert.ErrorContains(t, logged[0], "another program holds")
}
