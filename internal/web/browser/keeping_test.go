package browser_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"urdir/internal/workshop"
)

// TestBringTable has a yarn shelf come in from a table: what is wrong is said by
// line, what it would do is shown, and only then is it done.
func TestBringTable(t *testing.T) {
	for _, s := range []screen{telephone, {wide: 1280, lang: "en"}} {
		t.Run(s.lang, func(t *testing.T) {
			t.Parallel()
			w := newWorld(t)
			v := &visitor{world: w, screen: s, tab: w.open(t, s)}
			v.signIn(workshop.Dyer)
			v.follow(v.T("yarn-room"))
			v.follow(v.T("bring-yarn"))
			v.sound(t)
			v.sendTable(t, "label,colour,fibre,count,g\nHilo de la cala,#aa3344,cotton,Ne 8/2,450\nOtro,red,cotton,Ne 8/2,much\n")
			v.says(t, v.T("bring-mend"))
			v.sound(t)
			v.sendTable(t, "label,colour,fibre,count,g\nHilo de la cala,#aa3344,cotton,Ne 8/2,450\n")
			v.says(t, "Hilo de la cala")
			v.sound(t)
			if found, _, err := w.house.Lots(t.Context(), w.head, workshop.Page{Find: "cala"}); err != nil || len(found.Items) != 0 {
				t.Errorf("before it is brought in: %d lots, %v", len(found.Items), err)
			}
			v.press(v.T("bring-go"))
			v.says(t, v.T("done-brought"))
			found, stock, err := w.house.Lots(t.Context(), w.head, workshop.Page{Find: "cala"})
			if err != nil || len(found.Items) != 1 || stock[found.Items[0].ID].OnShelf != 450 {
				t.Errorf("brought in: %v, %v", found.Items, err)
			}
		})
	}
}

// sendTable chooses a file and sends it.
func (v *visitor) sendTable(t *testing.T, text string) {
	t.Helper()
	file := filepath.Join(t.TempDir(), "estante.csv")
	v.must("write the table", os.WriteFile(file, []byte(text), 0o600))
	v.do("choose the file", chromedp.SetUploadFiles("#f-file", []string{file}))
	v.press(v.T("bring-look"))
	if strings.Contains(v.text(), v.T("error-title")) {
		t.Fatal(v.text())
	}
}
