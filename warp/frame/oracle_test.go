package frame_test

import (
	"math"
	"math/cmplx"
	"slices"

	"urdir/warp/frame"
)

// An oracle measures one way by the rules of the package comment and nothing of
// the package's own: pegs are complex numbers, thread is laid from contact to
// contact, and the sides follow from the corners of the way.

type disc struct {
	at complex128
	r  float64
}

// laid is a peg with the sense in which thread runs round it: +1 or -1.
type laid struct {
	disc
	sense float64
}

func discOf(f frame.Frame, id string) disc {
	i := slices.IndexFunc(f.Pegs, func(p frame.Peg) bool { return p.ID == id })
	p := f.Pegs[i]
	return disc{complex(float64(p.X), float64(p.Y)), float64(p.Diameter) / 2}
}

// contacts are the ends of the straight thread between two pegs: both radii
// there stand at right angles to it.
func contacts(a, b laid) (complex128, complex128) {
	d := b.at - a.at
	cos := (a.sense*a.r - b.sense*b.r) / cmplx.Abs(d)
	// The unit radius w of a sense +1 makes the angle with d whose cosine is cos.
	w := d / complex(cmplx.Abs(d), 0) * complex(cos, -math.Sqrt(1-cos*cos))
	return a.at + w*complex(a.sense*a.r, 0), b.at + w*complex(b.sense*b.r, 0)
}

// wrapped is the angle thread runs round a peg between two contacts.
func wrapped(p laid, in, out complex128) float64 {
	a := cmplx.Phase((out-p.at)/(in-p.at)) * p.sense
	if a < -1e-9 {
		a += 2 * math.Pi
	}
	return a
}

// gap is the room between a straight thread and a peg.
func gap(p disc, a, b complex128) float64 {
	u := (b - a) / complex(cmplx.Abs(b-a), 0)
	v := (p.at - a) / u // along real, across imaginary
	along := min(max(real(v), 0), cmplx.Abs(b-a))
	return cmplx.Abs(v-complex(along, 0)) - p.r
}

// oracle measures the circuit of a way; ok is false where it is not one.
func oracle(f frame.Frame, pegs []string, sense float64) (circuit float64, ok bool) {
	way := make([]disc, len(pegs))
	for i, id := range pegs {
		way[i] = discOf(f, id)
	}
	a, c1, c2 := way[0], way[1], way[2]
	// Not to the far peg of the cross by way of the near one.
	u := (c1.at - a.at) / complex(cmplx.Abs(c1.at-a.at), 0)
	v := (c2.at - a.at) / u
	along := min(max(real(v), 0), cmplx.Abs(c1.at-a.at))
	if cmplx.Abs(v-complex(along, 0)) < c2.r+max(a.r, c1.r) {
		return 0, false
	}
	out := []laid{{a, sense}, {c1, sense}, {c2, -sense}}
	for i := 3; i < len(way)-1; i++ {
		corner := (way[i+1].at - way[i].at) / (way[i].at - way[i-1].at)
		angle := cmplx.Phase(corner)
		if math.Abs(math.Tan(angle)) < 0.035 && real(corner) > 0 {
			return 0, false
		}
		s := 1.0
		if angle < 0 && angle > -math.Pi+1e-12 {
			s = -1
		}
		out = append(out, laid{way[i], s})
	}
	turnSense := 1.0
	if len(way) == 4 {
		turnSense = -sense
	}
	loop := append(out, laid{way[len(way)-1], turnSense})
	for i := len(out) - 1; i > 0; i-- {
		// Back on the same side of a chain peg is round it the other way; back on
		// the other side of a cross peg is round it the same way.
		back := -out[i].sense
		if i < 3 {
			back = out[i].sense
		}
		loop = append(loop, laid{out[i].disc, back})
	}
	return around(f, loop, len(way))
}

// around lays a closed thread; pegs is how many lie on the way out.
func around(f frame.Frame, loop []laid, pegs int) (circuit float64, ok bool) {
	n := len(loop)
	chain := func(i int) bool { return i >= 3 && i <= 2*pegs-5 && i != pegs-1 }
	touched := []int{}
	for i := range loop {
		touched = append(touched, i)
	}
	angle := func(k int) float64 {
		m := len(touched)
		prev, here, next := loop[touched[(k+m-1)%m]], loop[touched[k]], loop[touched[(k+1)%m]]
		_, in := contacts(prev, here)
		out, _ := contacts(here, next)
		return wrapped(here, in, out)
	}
	for k := 1; k < len(touched); k++ {
		i := touched[k]
		if (i == 1 || i == 2 || i == n-1 || i == n-2) && angle(k) > math.Pi {
			touched = slices.Delete(touched, k, k+1)
			k = 0
		}
	}
	for k, i := range touched {
		next := touched[(k+1)%len(touched)]
		wrap := angle(k)
		if chain(i) && wrap > 1.4*math.Pi {
			return 0, false
		}
		p, q := contacts(loop[i], loop[next])
		circuit += cmplx.Abs(q-p) + loop[i].r*wrap
		room := -1e-7
		if i >= 3 && next >= 4 && next <= n-3 {
			room = 0.2
		}
		for _, x := range f.Pegs {
			d := discOf(f, x.ID)
			if d != loop[i].disc && d != loop[next].disc && gap(d, p, q) < room {
				return 0, false
			}
		}
	}
	return circuit, true
}

// crossed counts the crossings of the lines from peg to peg.
func crossed(f frame.Frame, pegs []string) int {
	n := 0
	for i := 0; i+1 < len(pegs); i++ {
		for j := i + 2; j+1 < len(pegs); j++ {
			a, b := discOf(f, pegs[i]).at, discOf(f, pegs[i+1]).at
			c, d := discOf(f, pegs[j]).at, discOf(f, pegs[j+1]).at
			// The parameters of the common point of both lines.
			den := imag(cmplx.Conj(b-a) * (d - c))
			s, t := imag(cmplx.Conj(c-a)*(d-c))/den, imag(cmplx.Conj(c-a)*(b-a))/den
			if s > 0 && s < 1 && t > 0 && t < 1 {
				n++
			}
		}
	}
	return n
}
