package sql

import (
	"context"
	"database/sql"
	"embed"
	"fmt"
	"io/fs"

	"github.com/pressly/goose/v3"
)

// migrations make the tables, one folder a dialect. A migration that was
// released is never changed: a new one follows it.
//
//go:embed migrations/*/*.sql
var migrations embed.FS

// versions is the table that holds which migrations were run.
const versions = "schema_version"

// ours marks a file as ours: "Spok" in ASCII.
// https://www.sqlite.org/pragma.html#pragma_application_id
const ours = 0x53706f6b

// claim makes sure that the file is ours, or empty and made ours.
func (s *Store) claim(ctx context.Context) error {
	tx, err := s.writer.BeginTx(ctx, nil) // two programs may open a new file at once
	if err != nil {
		return err
	}
	defer tx.Rollback()
	var id, tables int64
	if err := tx.QueryRowContext(ctx, `select application_id, (select count(*) from sqlite_schema) from pragma_application_id`).Scan(&id, &tables); err != nil {
		return err
	}
	switch {
	case id == ours:
		return nil
	case id != 0 || tables > 0:
		return fmt.Errorf("found a database of another program: want a file of ours, or a new one")
	}
	if _, err := tx.ExecContext(ctx, fmt.Sprintf("pragma application_id = %d", ours)); err != nil {
		return err
	}
	return tx.Commit()
}

// migrate brings the tables up to date.
func (s *Store) migrate(ctx context.Context) error {
	// Asked here first: goose takes any failure for a table that another
	// program is just making, and waits for it.
	have, err := version(ctx, s.writer)
	if err != nil {
		return err
	}
	if want := newest(); have == want {
		return nil
	} else if have > want {
		return fmt.Errorf("its tables are of version %d, made by a newer version of the program: want %d at most", have, want)
	}
	files, err := fs.Sub(migrations, "migrations/sqlite")
	if err != nil {
		return err
	}
	p, err := goose.NewProvider(goose.DialectSQLite3, s.writer, files, goose.WithTableName(versions), goose.WithDisableGlobalRegistry(true))
	if err != nil {
		return err
	}
	for {
		_, failed := p.Up(ctx)
		if failed == nil {
			return nil
		}
		// Another program may have been faster: go on as long as it gets on.
		before := have
		if have, err = version(ctx, s.writer); err != nil || have <= before {
			return fmt.Errorf("make its tables: %w", failed)
		}
		if have >= newest() {
			return nil
		}
	}
}

// version returns the version of the tables in a database, 0 if it has none.
func version(ctx context.Context, db *sql.DB) (have int64, err error) {
	var made bool
	if err := db.QueryRowContext(ctx, `select count(*) > 0 from sqlite_schema where name = ?`, versions).Scan(&made); err != nil || !made {
		return 0, err
	}
	err = db.QueryRowContext(ctx, `select coalesce(max(version_id), 0) from `+versions+` where is_applied`).Scan(&have)
	return have, err
}

// newest is the version of the tables that this program knows.
func newest() int64 {
	var last int64
	names, _ := fs.Glob(migrations, "migrations/sqlite/*.sql") // its pattern is right
	for _, n := range names {
		v, err := goose.NumericComponent(n)
		if err == nil {
			last = max(last, v)
		}
	}
	return last
}

// Current returns the version of the tables in the database, and the version
// this program wants.
func (s *Store) Current(ctx context.Context) (have, want int64, err error) {
	if have, err = version(ctx, s.reader); err != nil {
		return 0, newest(), fmt.Errorf("schema: %w", s.closed(err))
	}
	return have, newest(), nil
}

// Ping returns an error unless the database can be read and its tables are
// those that this program wants.
func (s *Store) Ping(ctx context.Context) error {
	have, want, err := s.Current(ctx)
	if err == nil && have != want {
		err = fmt.Errorf("schema: version %d: want %d", have, want)
	}
	return err
}
