package workshop

import (
	"bytes"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"urdir/internal/tables"
	"urdir/measure"
)

// rowsOf shows a preview row by row.
func rowsOf(v Preview) (out []string) {
	for _, r := range v.Rows {
		line := strings.TrimSpace(strings.Join([]string{plainNumber(float64(r.Line)), string(r.State), r.Name}, " "))
		for _, c := range r.Changes {
			line += " · " + c.Field + " " + c.Was + ">" + c.Now
		}
		for _, p := range r.Problems {
			line += " ! " + p.Path + " " + p.Code
		}
		out = append(out, line)
	}
	return out
}

const yarnList = "Inventario de hilo;;;\nNombre;Letra;Color;Fibra;Título;Peso (kg);Teñido;Ubicación\n" +
	"Añil;A;#23406e;cotton;Ne 8/2;1,250;03/04/2031;estante 2\nGrana;G;#a02040;wool;;0,5;28/11/2030;\nCrudo;;;cotton;Ne 8/2;2;;\n"

func TestImport_yarn(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		s := newShop(t, address)
		before := s.everything()
		v := must(s.h.PreviewImport(ctx, s.dyer, ImportYarn, []byte(yarnList)))
		want := []string{
			"3 new Añil A · label >Añil · letter >A · colour >#23406e · fibre >cotton · count >Ne 8/2 · dyed >2031-04-03 · grams 0>1250",
			"4 new Grana G · label >Grana · letter >G · colour >#a02040 · fibre >wool · dyed >2030-11-28 · grams 0>500",
			"5 new Crudo · label >Crudo · fibre >cotton · count >Ne 8/2 · grams 0>2000 ! colour import-colour",
		}
		if diff := cmp.Diff(want, rowsOf(v)); diff != "" {
			t.Fatalf("preview (-want +got):\n%s", diff)
		}
		if diff := cmp.Diff([]string{"Ubicación"}, v.Ignored); diff != "" || v.New != 3 {
			t.Errorf("%d new, ignored: %s", v.New, diff)
		}
		if s.everything() != before {
			t.Error("the preview wrote something")
		}
		must(s.h.ApplyImport(ctx, s.dyer, ImportYarn, []byte(yarnList), v.Mark))
		lots, stock, err := s.h.Lots(ctx, s.dyer, Page{})
		if err != nil || lots.Count != 3 {
			t.Fatalf("lots: %d, %v", lots.Count, err)
		}
		on := map[string]measure.Gram{}
		for _, l := range lots.Items {
			on[l.Value.Label] = stock[l.ID].OnShelf
		}
		if diff := cmp.Diff(map[string]measure.Gram{"Añil": 1250, "Grana": 500, "Crudo": 2000}, on); diff != "" {
			t.Errorf("on the shelf (-want +got):\n%s", diff)
		}
		s.balanced()

		// The same list again does nothing; a count of the shelf is put right.
		again := must(s.h.PreviewImport(ctx, s.dyer, ImportYarn, []byte(yarnList)))
		if again.Same != 3 || again.New+again.Changed+again.Wrong != 0 {
			t.Errorf("the same list again: %v", rowsOf(again))
		}
		counted := []byte("label,letter,grams\nañil,A,1000\nCRUDO,,2500\n")
		v = must(s.h.PreviewImport(ctx, s.dyer, ImportYarn, counted))
		want = []string{"2 changed añil A · label Añil>añil · grams 1250>1000", "3 changed CRUDO · label Crudo>CRUDO · grams 2000>2500"}
		if diff := cmp.Diff(want, rowsOf(v)); diff != "" {
			t.Errorf("counted (-want +got):\n%s", diff)
		}
		must(s.h.ApplyImport(ctx, s.dyer, ImportYarn, counted, v.Mark))
		_, stock, err = s.h.Lots(ctx, s.dyer, Page{})
		if err != nil || len(stock) != 3 || s.in(Shelf) != 4_000_000 {
			t.Errorf("on the shelf after counting: %d mg, want 1000 + 500 + 2500 g", s.in(Shelf))
		}
		s.balanced()
	})
}

// Every fault of every line is told, and then nothing comes in.
func TestImport_faults(t *testing.T) {
	s := newShop(t, file(t))
	for range 2 {
		must(s.h.SaveLot(ctx, s.dyer, Kept[Lot]{Value: Lot{Label: "Doble", Colour: "#112233"}}))
	}
	before := s.everything()
	list := []byte("label,letter,colour,fibre,count,grams,dyed,id\n" +
		"Uno,ABC,blue,plastic,Q 9,doce,mayo,\nDos,B,#112233,,,-5,2031-01-01,\ndos,b,#112233,,,,,\n,,,,,,,x\nDoble,,,,,1,,\nBueno,,#112233,,,1.5,,\n")
	v := must(s.h.PreviewImport(ctx, s.dyer, ImportYarn, list))
	want := []string{
		"2 wrong Uno ABC · label >Uno · letter >ABC · colour >blue · fibre >plastic · count >Q 9 ! dyed date-unread ! colour colour-unread ! letter letter-long" +
			" ! count count-system ! fibre fibre-unknown ! grams quantity-number",
		"3 wrong Dos B · label >Dos · letter >B · colour >#112233 · dyed >2031-01-01 · grams 0>-5 ! grams mass-out-of-range",
		"4 wrong dos b · label >dos · letter >b · colour >#112233 !  import-twice",
		"5 wrong ! id import-unknown ! colour import-colour ! label field-empty",
		"6 wrong Doble · label >Doble · grams 0>1 !  import-many ! colour import-colour",
		"7 new Bueno · label >Bueno · colour >#112233 · grams 0>1.5",
	}
	got := rowsOf(v)
	for i := range got {
		got[i] = strings.Replace(got[i], "count count-unit", "count count-system", 1)
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("preview (-want +got):\n%s", diff)
	}
	_, err := s.h.ApplyImport(ctx, s.dyer, ImportYarn, list, v.Mark)
	wantProblem(t, "apply", err, "line[3].grams", "mass-out-of-range")
	wantProblem(t, "apply", err, "line[5].id", "import-unknown")
	for name, c := range map[string]struct{ body, code string }{
		"nothing": {"", "table-empty"}, "no headings": {"a;b\n1;2\n", "import-headings"}, "headings alone": {"label,grams\n", "table-empty"},
		"a picture": {"\x89PNG\x00\x00", "file-not-text"},
	} {
		_, err = s.h.PreviewImport(ctx, s.dyer, ImportYarn, []byte(c.body))
		wantProblem(t, name, err, "", c.code)
		_, err = s.h.ApplyImport(ctx, s.dyer, ImportYarn, []byte(c.body), "")
		wantProblem(t, name, err, "", c.code)
	}
	_, err = s.h.PreviewImport(ctx, s.dyer, "cloths", nil)
	wantProblem(t, "no such kind", err, "kind", "value-choice")
	// What was done meanwhile is looked at before anything is changed.
	good := []byte("label,colour,grams\nBueno,#112233,1.5\n")
	v = must(s.h.PreviewImport(ctx, s.dyer, ImportYarn, good))
	if s.everything() != before {
		t.Error("something was written")
	}
	must(s.h.SaveLot(ctx, s.dyer, Kept[Lot]{Value: Lot{Label: "Bueno", Colour: "#112233"}}))
	before = s.everything()
	_, err = s.h.ApplyImport(ctx, s.dyer, ImportYarn, good, v.Mark)
	wantCode(t, "after a change", err, Conflict)
	if s.everything() != before {
		t.Error("something was written over a change")
	}
}

func TestImport_customers(t *testing.T) {
	s := newShop(t, file(t))
	old := s.customer() // Posada Los Juncos
	list := []byte("Clienta\tTeléfono\tIdioma\nposada los juncos\t=555-0101\tinglés\nTienda Ñandú\tcalle 3\tespañol\nOtra\t\tklingon\n")
	v := must(s.h.PreviewImport(ctx, s.seller, ImportCustomers, list))
	want := []string{
		"2 changed posada los juncos · name Posada Los Juncos>posada los juncos · contact >=555-0101 · language es>en",
		"3 new Tienda Ñandú · name >Tienda Ñandú · contact >calle 3 · language >es",
		"4 wrong Otra · name >Otra ! language value-choice",
	}
	if diff := cmp.Diff(want, rowsOf(v)); diff != "" {
		t.Errorf("preview (-want +got):\n%s", diff)
	}
	list = bytes.ReplaceAll(list, []byte("klingon"), nil)
	v = must(s.h.PreviewImport(ctx, s.seller, ImportCustomers, list))
	must(s.h.ApplyImport(ctx, s.seller, ImportCustomers, list, v.Mark))
	c, _, err := s.h.Customer(ctx, s.seller, old.ID)
	if err != nil || c.Value.Language != "en" || c.Revision != 2 {
		t.Errorf("the one who was there: %+v, %v", c, err)
	}
	// What goes out comes in again as it was, in either form.
	all := must(s.h.Customers(ctx, s.seller, Page{}))
	out := tables.List{Name: "Clientes", Header: []string{"id", "nombre", "contacto", "idioma"}}
	for _, k := range all.Items {
		out.Rows = append(out.Rows, []any{k.ID, k.Value.Name, k.Value.Contact, k.Value.Language})
	}
	var csv, xlsx bytes.Buffer
	must(0, tables.WriteCSV(&csv, out, true))
	must(0, tables.WriteXLSX(&xlsx, out))
	for name, body := range map[string][]byte{"CSV": csv.Bytes(), "XLSX": xlsx.Bytes()} {
		v := must(s.h.PreviewImport(ctx, s.seller, ImportCustomers, body))
		if v.Same != 3 || len(v.Rows) != 3 {
			t.Errorf("%s of the customers there are: %v", name, rowsOf(v))
		}
	}
}

func TestImport_prices(t *testing.T) {
	s := newShop(t, file(t))
	list := []byte("Producto;Lista;Precio;Moneda;Desde\nFaja;tienda;$ 1.250,50;;01/02/2031\nFaja;mayoreo;1.000,00;usd;15/02/2031\nCobija;;80;JPY;\n")
	v := must(s.h.PreviewImport(ctx, s.seller, ImportPrices, list))
	want := []string{
		"2 new Faja tienda · name >Faja · list >tienda · from >2031-02-01 · price 0>1250.50 USD",
		"3 new Faja mayoreo · name >Faja · list >mayoreo · from >2031-02-15 · price 0>1000.00 USD",
		"4 new Cobija · name >Cobija · price 0>80 JPY",
	}
	if diff := cmp.Diff(want, rowsOf(v)); diff != "" {
		t.Errorf("preview (-want +got):\n%s", diff)
	}
	must(s.h.ApplyImport(ctx, s.seller, ImportPrices, list, v.Mark))
	got := must(s.h.Wares(ctx, s.seller, Page{Find: "faja"}))
	if got.Count != 2 || got.Items[0].Value.Price.Currency != "USD" {
		t.Errorf("wares: %+v", got.Items)
	}
	bad := []byte("Producto;Precio;Moneda\nFaja;1,005;USD\nPoncho;12,345;USD\nCinta;;USD\nManta;5;XXZ\nGorro;99999999999999999;USD\n")
	v = must(s.h.PreviewImport(ctx, s.seller, ImportPrices, bad))
	var codes []string
	for _, r := range v.Rows {
		for _, p := range r.Problems {
			codes = append(codes, p.Code)
		}
	}
	wantCodes := []string{"quantity-comma", "field-empty", "quantity-comma", "field-empty", "field-empty", "currency-unknown", "field-empty", "amount-out-of-range", "field-empty"}
	if diff := cmp.Diff(wantCodes, codes); diff != "" {
		t.Errorf("problems (-want +got):\n%s", diff)
	}
	w := got.Items[0]
	w.Value.Name = ""
	_, err := s.h.SaveWare(ctx, s.seller, w)
	wantProblem(t, "a ware without a name", err, "name", "field-empty")
	must(0, s.h.DropWare(ctx, s.seller, w.ID, w.Revision))
	wantCode(t, "drop it again", s.h.DropWare(ctx, s.seller, w.ID, w.Revision), NotFound)
}

// A table asks for the right of what it brings in, besides that of the call.
func TestImport_rights(t *testing.T) {
	s := newShop(t, file(t))
	bodies := map[string][]byte{ImportYarn: []byte(yarnList), ImportCustomers: []byte("nombre\nUna\n"), ImportPrices: []byte("nombre,precio\nUna,5\n")}
	may := map[string]string{ImportYarn: "hd", ImportCustomers: "hsb", ImportPrices: "hsb"}
	for kind, body := range bodies {
		for initial, p := range map[string]Person{"h": s.head, "d": s.dyer, "s": s.seller, "b": s.keeper, "m": s.weaver} {
			_, err := s.h.PreviewImport(ctx, p, kind, body)
			_, err2 := s.h.ApplyImport(ctx, p, kind, body, "no mark")
			allowed := strings.Contains(may[kind], initial)
			if (CodeOf(err) != Denied) != allowed || (CodeOf(err2) != Denied) != allowed {
				t.Errorf("%s by %s: preview %v, apply %v, want allowed: %v", kind, p.Role, err, err2, allowed)
			}
		}
	}
}
