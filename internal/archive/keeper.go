package archive

import (
	"context"
	"errors"
	"log/slog"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"urdir/internal/store"
)

// Keeper makes backups at intervals and keeps the newest.
type Keeper struct {
	DB    *store.DB
	Dir   string
	Every time.Duration
	Keep  int // how many
	Log   *slog.Logger
	Now   func() time.Time
}

// retry is after what time a backup that failed is tried again, at most.
const retry = 10 * time.Minute

// Run makes backups until the context ends: the first when the newest in the
// folder is as old as the interval. One that fails is an error in the log, and
// is tried again soon; no older one goes until a new one is there. Of several
// servers before one database that are given the same folder, one makes each.
func (k Keeper) Run(ctx context.Context) {
	if err := k.clear(); err != nil {
		k.Log.Error("backup folder", "folder", k.Dir, "error", err)
	}
	wait := min(k.Every, max(0, k.Every-k.Now().Sub(k.newest()))) // the newest may be of a clock that went wrong
	for {
		select {
		case <-ctx.Done():
			return
		case <-time.After(wait):
		}
		wait = k.Every
		report, err := k.turn(ctx)
		switch {
		case ctx.Err() != nil:
			return
		case errors.Is(err, errMade):
			wait = min(k.Every, max(retry, k.Every-k.Now().Sub(k.newest())))
		case err != nil:
			k.Log.Error("BACKUP FAILED", "folder", k.Dir, "newest", k.newest(), "error", err)
			wait = min(wait, retry)
		default:
			k.Log.Info("backup", "file", report.File, "bytes", report.Bytes)
		}
	}
}

// errMade says that another server makes backups into the folder, or has just made
// one.
var errMade = errors.New("another server made it")

// turn makes a backup that is due, unless another server before the same database
// is at it.
func (k Keeper) turn(ctx context.Context) (r Report, err error) {
	done, ok, err := k.DB.Turn(ctx, "backup")
	if err != nil {
		return r, err
	}
	if !ok {
		return r, errMade
	}
	defer func() { err = errors.Join(err, done()) }()
	if age := k.Now().Sub(k.newest()); age >= 0 && age < k.Every/2 { // below nothing: of a clock that went wrong
		return r, errMade
	}
	return k.Once(ctx)
}

// Once makes one backup and takes away those that are too many.
func (k Keeper) Once(ctx context.Context) (Report, error) {
	if err := os.MkdirAll(k.Dir, 0o700); err != nil {
		return Report{}, err
	}
	now := k.Now()
	r, err := Backup(ctx, k.DB, filepath.Join(k.Dir, backupPrefix+now.UTC().Format(stampText)+backupEnd), now)
	if err != nil {
		return r, err
	}
	all, err := k.all()
	for len(all) > max(1, k.Keep) {
		err = errors.Join(err, os.Remove(filepath.Join(k.Dir, all[0])))
		all = all[1:]
	}
	return r, err
}

// How backups at intervals are named.
const (
	backupPrefix = "urdir-"
	backupEnd    = ".urdir"
)

// all gives the names of the backups that were made at intervals, the oldest
// first; other files in the folder are somebody's.
func (k Keeper) all() (names []string, err error) {
	entries, err := os.ReadDir(k.Dir)
	for _, e := range entries {
		if _, ok := taken(e.Name()); ok && e.Type().IsRegular() {
			names = append(names, e.Name())
		}
	}
	slices.Sort(names)
	return names, err
}

// taken reads from a name when a backup was made.
func taken(name string) (time.Time, bool) {
	name, begins := strings.CutPrefix(name, backupPrefix)
	name, ends := strings.CutSuffix(name, backupEnd)
	at, err := time.Parse(stampText, name)
	return at, begins && ends && err == nil
}

// newest is when the newest backup was made.
func (k Keeper) newest() time.Time {
	all, err := k.all()
	if err != nil || len(all) == 0 {
		return time.Time{} // none: the next is due
	}
	at, _ := taken(all[len(all)-1])
	return at
}

// clear takes away what backups left that were cut short, but for those of today,
// which may be someone's at work.
func (k Keeper) clear() error {
	left, err := filepath.Glob(filepath.Join(k.Dir, partPrefix+"*"))
	for _, name := range left {
		if info, e := os.Stat(name); e == nil && k.Now().Sub(info.ModTime()) > 24*time.Hour {
			err = errors.Join(err, os.RemoveAll(name))
		}
	}
	return err
}
