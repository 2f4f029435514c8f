package sql

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
)

// Registered returns the hash of what was last registered under a name, "" if
// nothing was.
func (s *Store) Registered(ctx context.Context, name string) (string, error) {
	var hash string
	err := s.reader.QueryRowContext(ctx, `select hash from registered where name = ?`, name).Scan(&hash)
	if err != nil && !errors.Is(err, sql.ErrNoRows) {
		return "", fmt.Errorf("registered: %w", s.closed(err))
	}
	return hash, nil
}

// SetRegistered keeps the hash of what was registered under a name.
func (s *Store) SetRegistered(ctx context.Context, name, hash string) error {
	_, err := s.writer.ExecContext(ctx,
		`insert into registered (name, hash, at) values (?, ?, ?)
			on conflict (name) do update set hash = excluded.hash, at = excluded.at`,
		name, hash, s.now().UnixMilli())
	if err != nil {
		return fmt.Errorf("set registered: %w", s.closed(err))
	}
	return nil
}
