package clothfile_test
import ("testing";"os";"fmt";"path/filepath";"urdir/clothfile";"urdir/plan";"urdir/draw";"urdir/surface";"urdir/measure";"time")
func TestTry(t *testing.T){ fs,_:=filepath.Glob("../examples/*.yaml"); for _,fn:=range fs { b,_:=os.ReadFile(fn); c,src,ps:=clothfile.Read(b); fmt.Println("==",fn); for _,p:=range ps {pos,_:=src.Locate(p.Path);fmt.Println(pos,p)}; if ps.Failed(){continue}
p,ps:=plan.Make(c); for _,q:=range ps {pos,_:=src.Locate(q.Path);fmt.Println(pos,q)}
if ps.Failed() {continue}
for _,w:=range p.Warps { fmt.Printf("%s ends %d lay %.0f x%d path %v excess %.2f cover %.2f\n",w.Key,w.Ends,float64(w.Length.Lay),w.Layings,w.Path.Pegs,float64(w.Path.Excess),float64(w.Cover)) }
fmt.Printf("piece %.1f x %.1f %.0f g %.0f g/m2 %s\n",float64(p.Piece.Width),float64(p.Piece.Length),float64(p.Piece.Mass),float64(p.Piece.PerM2),p.Piece.Hand)
t0:=time.Now()
s:=surface.NewPNG(400,300,1600); draw.Cloth(s,surface.Box{10,10,190,280},p); draw.DrawDetail(s,surface.Box{210,10,180,280},p,draw.Detail{Panel:0,FirstEnd:0,FromCM:8,PerCM:25}); fmt.Println(time.Since(t0)); f,_:=os.Create("/tmp/s/"+filepath.Base(fn)+".png"); s.WriteTo(f); f.Close(); fmt.Println(time.Since(t0))
_=measure.MM(0)
}}
