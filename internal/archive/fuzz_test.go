package archive_test

import (
	"archive/zip"
	"bytes"
	"context"
	"errors"
	"os"
	"path/filepath"
	"testing"

	"urdir/internal/archive"
)

// FuzzImport changes one part of a good export: what comes in is whole, and what does
// not is told as faults with their places.
func FuzzImport(f *testing.F) {
	good := unzipped(f, exported(f, settled(f, file(f)), archive.ExportOptions{}))
	for _, name := range []string{"manifest.json", "tables/records.jsonl", "tables/moves.jsonl"} {
		f.Add(name, []byte(good[name]))
	}
	f.Add("tables/records.jsonl", []byte("{}\n[]\nnull\n"))
	f.Add("../outside", []byte("x"))
	f.Fuzz(func(t *testing.T, name string, body []byte) {
		var b bytes.Buffer
		z := zip.NewWriter(&b)
		for n, text := range good {
			if n != name {
				put(t, z, n, []byte(text))
			}
		}
		put(t, z, name, body)
		must(t, z.Close())
		path := filepath.Join(t.TempDir(), "x.zip")
		must(t, os.WriteFile(path, b.Bytes(), 0o600))
		db := open(t, file(t))
		_, err := archive.Import(context.Background(), db, path)
		if _, told := errors.AsType[archive.Faults](err); err != nil && !told {
			t.Fatalf("%q: no fault with a place: %v", name, err)
		}
		faults, err := db.Verify(context.Background())
		must(t, err)
		if len(faults) > 0 {
			t.Errorf("what came in is not whole: %v", faults)
		}
	})
}

func put(tb testing.TB, z *zip.Writer, name string, body []byte) {
	tb.Helper()
	w, err := z.Create(name)
	must(tb, err)
	_, err = w.Write(body)
	must(tb, err)
}
