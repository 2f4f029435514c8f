package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"time"

	"spokeword/commands/memory/sql"
	"spokeword/config"
)

// storeFile is the name of the store's file in a directory of ours.
const storeFile = "spokeword.db"

// storePath returns the path of the store's file, "" for none. Of the
// directories that the machine knows for such files it takes the service's,
// else the person's.
//
// A service manager names the service's:
// https://www.freedesktop.org/software/systemd/man/latest/systemd.exec.html#RuntimeDirectory=
// The person's: https://specifications.freedesktop.org/basedir-spec/latest/
func (p *program) storePath(s config.Store) (path string, made bool, err error) {
	switch s.Path {
	case config.StoreMemory:
		return "", false, nil
	case config.StoreAuto:
	default:
		return s.Path, false, nil
	}
	if dir, _, _ := strings.Cut(p.getenv("STATE_DIRECTORY"), ":"); filepath.IsAbs(dir) {
		return filepath.Join(dir, storeFile), false, nil
	}
	dir := p.getenv("XDG_DATA_HOME")
	if home := p.getenv("HOME"); !filepath.IsAbs(dir) && filepath.IsAbs(home) {
		dir = filepath.Join(home, ".local", "share")
		if runtime.GOOS == "darwin" {
			dir = filepath.Join(home, "Library", "Application Support")
		}
	}
	if local := p.getenv("LOCALAPPDATA"); runtime.GOOS == "windows" && filepath.IsAbs(local) {
		dir = local
	}
	if !filepath.IsAbs(dir) {
		return "", false, errors.New("setting store.path: found no directory of a service or a person to keep the store in: want the path of a file, or memory")
	}
	return filepath.Join(dir, "spokeword", storeFile), true, nil
}

// openStore opens the store, nil if nothing is to be kept.
func (p *program) openStore(ctx context.Context, s config.Settings, log *slog.Logger) (*sql.Store, error) {
	path, made, err := p.storePath(s.Store)
	if err != nil || path == "" {
		return nil, err
	}
	if made {
		// The directory is ours and for the person alone.
		if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
			return nil, fault{fmt.Errorf("store: %w", err)}
		}
	}
	store, err := sql.Open(ctx, path, sql.Options{
		Now: p.now, Ticks: time.Tick(time.Second), Expiry: s.Talk.Expiry, Most: s.Talk.Most,
		Log: func(err error) { log.Error("store", "error", err) },
	})
	if err != nil {
		return nil, fault{err}
	}
	return store, nil
}

// storeCheck checks that the store opens, can be written, and has the tables
// that this program wants.
func (p *program) storeCheck(ctx context.Context, s config.Settings) check {
	c := check{name: "store"}
	store, err := p.openStore(ctx, s, slog.New(slog.DiscardHandler))
	switch {
	case err != nil:
		c.err = err
	case store == nil:
		c.ok = "nothing is kept: after a restart an event that comes again is answered again"
	default:
		have, want, err := store.Current(ctx)
		c.err = errors.Join(err, store.SetRegistered(ctx, "doctor", "looked"), store.Ping(ctx), store.Close())
		path, _, _ := p.storePath(s.Store)
		c.ok = fmt.Sprintf("%s can be written, tables of version %d of %d", path, have, want)
	}
	return c
}
