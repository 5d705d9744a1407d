package archive_test

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"maps"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"urdir/internal/archive"
	"urdir/internal/store"
)

// zipped makes a zip of files.
func zipped(tb testing.TB, files map[string]string) string {
	tb.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for name, text := range files {
		w, err := z.Create(name)
		must(tb, err)
		_, err = w.Write([]byte(text))
		must(tb, err)
	}
	must(tb, z.Close())
	out := filepath.Join(tb.TempDir(), "x.zip")
	must(tb, os.WriteFile(out, b.Bytes(), 0o600))
	return out
}

// What is wrong is told all at once, with file and line, and nothing comes in.
func TestImport_faults(t *testing.T) {
	good := unzipped(t, exported(t, settled(t, file(t)), archive.ExportOptions{}))
	replace := func(name, old, now string) func(map[string]string) {
		return func(m map[string]string) {
			if !strings.Contains(m[name], old) {
				t.Fatalf("%s has no %q:\n%s", name, old, m[name])
			}
			m[name] = strings.Replace(m[name], old, now, 1)
		}
	}
	const records, moves, files = "tables/records.jsonl", "tables/moves.jsonl", "tables/files.jsonl"
	for name, c := range map[string]struct {
		spoil func(map[string]string)
		want  []string
	}{
		"nothing wrong":     {func(map[string]string) {}, nil},
		"no manifest":       {func(m map[string]string) { delete(m, "manifest.json") }, []string{"export-unreadable"}},
		"another's zip":     {func(m map[string]string) { m["manifest.json"] = `{}` }, []string{"export-unreadable"}},
		"a newer version":   {replace("manifest.json", `"schema": `, `"schema": 9`), []string{"backup-newer"}},
		"a later format":    {replace("manifest.json", `"version": 1`, `"version": 2`), []string{"backup-newer"}},
		"no JSON":           {replace(records, "{", ""), []string{"export-line at " + records + ":1"}},
		"two in a line":     {replace(records, "}\n", "}"), []string{"export-line at " + records + ":1", "export-rows"}},
		"a name twice":      {replace(records, `"kind"`, `"kind":"x","kind"`), []string{"export-line at " + records + ":1"}},
		"no UTF-8":          {replace(records, "cmd", "c\xffmd"), []string{"export-line at " + records + ":1"}},
		"NUL":               {replace(records, "cmd", `c\u0000md`), []string{"export-value at " + records + ":1"}},
		"a column missing":  {replace(records, `"kind":"order",`, ""), []string{"export-column-missing at " + records + ":1"}},
		"a column too many": {replace(records, `"kind"`, `"colour":"x","kind"`), []string{"export-column-unknown at " + records + ":1"}},
		"a half":            {replace(records, `"revision":1`, `"revision":1.5`), []string{"export-value at " + records + ":1"}},
		"text for a number": {replace(records, `"revision":1`, `"revision":"1"`), []string{"export-value at " + records + ":1"}},
		"a list":            {replace(records, `"revision":1`, `"revision":[1]`), []string{"export-line at " + records + ":1"}},
		"another workshop":  {replace(records, `w-shore`, `w-elsewhere`), []string{"export-workshop at " + records + ":2"}},
		"twice": {func(m map[string]string) { m[records] += strings.SplitAfter(m[records], "\n")[0] },
			[]string{"export-row-twice at " + records + ":3", "export-rows"}},
		"a line lost":    {func(m map[string]string) { m[records] = strings.SplitAfter(m[records], "\n")[0] }, []string{"export-rows"}},
		"a sum":          {replace(moves, `"milligrams":5000`, `"milligrams":5001`), []string{"export-sum"}},
		"a table lost":   {func(m map[string]string) { delete(m, moves) }, []string{"export-table-missing", "export-rows"}},
		"a picture lost": {func(m map[string]string) { delete(m, "files/w-shore/f1.png") }, []string{"export-file-missing at " + files + ":2"}},
		"another picture": {func(m map[string]string) { m["files/w-shore/f1.png"] = "x" },
			[]string{"export-file-changed at " + files + ":2"}},
		"a picture from elsewhere": {replace(files, `"path":"files/`, `"path":"../files/`), []string{"export-entry-path at " + files + ":1"}},
		"a name that climbs":       {func(m map[string]string) { m["../../etc/passwd"] = "x" }, []string{"export-entry-path"}},
		"a name from the root":     {func(m map[string]string) { m["/etc/passwd"] = "x" }, []string{"export-entry-path"}},
		"a name of another system": {func(m map[string]string) { m[`C:\x`] = "x" }, []string{"export-entry-path"}},
		"a zip bomb":               {func(m map[string]string) { m["files/big"] = strings.Repeat("\x00", 30<<20) }, []string{"export-bomb"}},
		"a zip bomb of one field": {func(m map[string]string) { m[records] = `{"workshop":"` + strings.Repeat("xyzäö", 8<<20) + `"}` },
			[]string{"export-bomb"}},
		"several at once": {func(m map[string]string) {
			replace(records, `"revision":1`, `"revision":"1"`)(m)
			replace(moves, `"lot"`, `"lots"`)(m)
			replace("tables/stock.jsonl", `"place"`, `"place":1,"place"`)(m)
		}, []string{"export-value at " + records + ":1", "export-column-missing at " + moves + ":1", "export-column-unknown at " + moves + ":1",
			"export-line at tables/stock.jsonl:1", "export-sum"}},
		"books that do not close": {func(m map[string]string) {
			replace("tables/stock.jsonl", `:-5000`, `:-4000`)(m)
			replace("manifest.json", `"milligrams": 0`, `"milligrams": 1000`)(m)
		}, []string{"backup-fault"}},
		"history that breaks": {func(m map[string]string) {
			replace("tables/history.jsonl", `"seq":1`, `"seq":7`)(m)
		}, []string{"backup-fault"}},
	} {
		t.Run(name, func(t *testing.T) {
			files := map[string]string{}
			maps.Copy(files, good)
			c.spoil(files)
			db := open(t, file(t))
			_, err := archive.Import(t.Context(), db, zipped(t, files))
			if len(c.want) == 0 {
				must(t, err)
				return
			}
			wantFaults(t, name, err, c.want...)
			if all, err := db.Workshops(t.Context()); err != nil || len(all) != 0 {
				t.Errorf("workshops afterwards: %v, %v", all, err)
			}
		})
	}
}

// A zip bomb whose size lies does not get past the reader; one that tells it is among
// TestImport_faults.
func TestImport_lyingZipBomb(t *testing.T) {
	body := strings.Repeat("\x00", 40<<20)
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	w, err := z.Create("tables/records.jsonl")
	must(t, err)
	_, err = w.Write([]byte(body))
	must(t, err)
	for name, text := range unzipped(t, exported(t, settled(t, file(t)), archive.ExportOptions{})) {
		if name == "tables/records.jsonl" {
			continue
		}
		w, err = z.Create(name)
		must(t, err)
		_, err = w.Write([]byte(text))
		must(t, err)
	}
	must(t, z.Close())
	out := b.Bytes()
	// The central directory says the first entry is 100 bytes.
	at := bytes.Index(out, []byte("PK\x01\x02"))
	for bytes.Contains(out[at+4:], []byte("PK\x01\x02")) && !bytes.HasPrefix(out[at+46:], []byte("tables/records.jsonl")) {
		at += 4 + bytes.Index(out[at+4:], []byte("PK\x01\x02"))
	}
	copy(out[at+24:at+28], []byte{100, 0, 0, 0})
	name := filepath.Join(t.TempDir(), "x.zip")
	must(t, os.WriteFile(name, out, 0o600))
	_, err = archive.Import(t.Context(), open(t, file(t)), name)
	if err == nil {
		t.Error("a zip with a size that lies came in")
	}
}

// Nothing is ever imported over a workshop, nor beside someone of the same name.
func TestImport_there(t *testing.T) {
	db := settled(t, file(t))
	out := filepath.Join(t.TempDir(), "x.zip")
	_, err := archive.Export(t.Context(), db, out, archive.ExportOptions{Workshop: shore})
	must(t, err)
	_, err = archive.Import(t.Context(), db, out)
	wantFaults(t, "over itself", err, "workshop-there")
	other := open(t, file(t))
	must(t, other.MakeWorkshop(t.Context(), store.Workshop{ID: "w-other", Name: "x"}, noon))
	must(t, other.PutAccount(t.Context(), store.Account{ID: "a", Workshop: "w-other", Login: "maru.w-shore"}))
	_, err = archive.Import(t.Context(), other, out)
	wantFaults(t, "beside a name", err, "import-login at tables/accounts.jsonl:1")
	all, err := other.Workshops(t.Context())
	if err != nil || len(all) != 1 {
		t.Errorf("workshops afterwards: %v, %v", all, err)
	}
	// Where it is not, it comes beside the others.
	third := open(t, file(t))
	must(t, third.MakeWorkshop(t.Context(), store.Workshop{ID: "w-other", Name: "x"}, noon))
	r, err := archive.Import(t.Context(), third, out)
	must(t, err)
	if diff := cmp.Diff([]string{"=Taller w-shore"}, r.Workshops); diff != "" {
		t.Error(diff)
	}
	if _, err := archive.Import(t.Context(), third, filepath.Join(t.TempDir(), "none.zip")); err == nil {
		t.Error("a file that is not there came in")
	}
}

// later are the tables that the first version did not have.
var later = []string{"entries", "lines", "sums", "items", "numbers"}

// An export that a former version wrote comes in.
func TestImport_formerVersion(t *testing.T) {
	newest, err := store.Newest()
	must(t, err)
	all := unzipped(t, exported(t, settled(t, file(t)), archive.ExportOptions{}))
	var m map[string]any
	must(t, json.Unmarshal([]byte(all["manifest.json"]), &m))
	m["schema"] = 1
	for _, table := range later {
		delete(m["tables"].(map[string]any), table)
		delete(all, "tables/"+table+".jsonl")
	}
	text, err := json.Marshal(m)
	must(t, err)
	all["manifest.json"] = string(text)
	db := open(t, file(t))
	_, err = archive.Import(t.Context(), db, zipped(t, all))
	must(t, err)
	if is, err := db.Version(t.Context()); err != nil || is != newest {
		t.Errorf("version: %d, %v, want %d", is, err, newest)
	}
	must(t, db.View(t.Context(), shore, func(tx *store.Tx) error { _, err := tx.Get("order", "o1"); return err }))
}
