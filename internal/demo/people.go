package demo

import (
	"urdir/internal/workshop"
)

// The cooperative and the valley it is in.
const (
	cooperative = "Taller Mareas de Anzales"
	passphrase  = "la marea sube despacio"
)

// Login is how someone signs in to the demo.
type Login struct {
	Name, Login, Passphrase string
	Role                    workshop.Role
}

// account is who may sign in; the first is the head.
type account struct {
	name, login string
	role        workshop.Role
	member      string // key of her record
}

var accounts = []account{
	{"Amaranta Quiroz", "amaranta", workshop.Head, "amaranta"},
	{"Dionisia Varela", "dionisia", workshop.Dyer, "dionisia"},
	{"Elvira Montarcos", "elvira", workshop.Seller, ""},
	{"Crisanto Abrego", "crisanto", workshop.Bookkeeper, ""},
	{"Benita Solórzano", "benita", workshop.MemberRole, "benita"},
	{"Zoila Carrizo", "zoila", workshop.MemberRole, "zoila"},
}

// named is a value with a short key the other tables use.
type named[T any] struct {
	key   string
	value T
}

var spanish = []string{"es"}

var members = []named[workshop.Member]{
	{"amaranta", workshop.Member{Name: "Amaranta Quiroz", Skills: []string{"lay", "weave", "brocade", "teach"}, Hours: 12, Languages: []string{"es", "en"}, Named: true,
		Reach: "En el taller, de martes a sábado", Note: "Dibuja las aves."}},
	{"benita", workshop.Member{Name: "Benita Solórzano", Skills: []string{"lay", "weave", "brocade", "pick-up", "teach"}, Hours: 24, Languages: spanish, Named: true,
		Reach: "Recado con su hija, después de la escuela"}},
	{"dionisia", workshop.Member{Name: "Dionisia Varela", Skills: []string{"dye", "lay"}, Hours: 30, Languages: spanish, Named: true,
		Reach: "En el patio de tintes"}},
	{"eulalia", workshop.Member{Name: "Eulalia Mondéjar", Skills: []string{"weave", "pick-up"}, Hours: 20, Languages: spanish,
		Reach: "La lancha de los jueves lleva sus bultos", Note: "Prefiere que su nombre no vaya en la tarjeta."}},
	{"jacinta", workshop.Member{Name: "Jacinta Robledal", Skills: []string{"lay", "weave", "brocade"}, Hours: 28, Languages: spanish, Named: true,
		Reach: "Casa azul junto al embarcadero"}},
	{"petrona", workshop.Member{Name: "Petrona Albuera", Skills: []string{"weave", "sew"}, Hours: 16, Languages: spanish, Named: true,
		Reach: "Por las tardes, en la tienda de su hermano"}},
	{"ramona", workshop.Member{Name: "Ramona Tejares", Skills: []string{"weave", "brocade", "sew"}, Hours: 18, Languages: spanish, Named: true,
		Reach: "Mensaje escrito con letra grande"}},
	{"zoila", workshop.Member{Name: "Zoila Carrizo", Skills: []string{"lay", "weave", "pick-up"}, Hours: 22, Languages: []string{"es", "en"}, Named: true,
		Reach: "Teléfono compartido de la escuela de la barra"}},
	{"candelaria", workshop.Member{Name: "Candelaria Ostos", Skills: []string{"weave"}, Hours: 10, Languages: spanish,
		Reach: "Con Jacinta, su vecina", Note: "Aprendió este año; tapete o morral, todavía no figuras."}},
	{"tomasa", workshop.Member{Name: "Tomasa Liria", Skills: []string{"lay", "weave", "brocade"}, Hours: 20, Languages: spanish, Named: true, Away: true,
		Reach: "En la cosecha, hasta las primeras lluvias"}},
	{"lino", workshop.Member{Name: "Lino Barrientos", Skills: []string{"lay", "weave"}, Hours: 26, Languages: spanish, Named: true,
		Reach: "En el taller; urde por las mañanas"}},
	{"nieves", workshop.Member{Name: "Nieves Alcorta", Skills: []string{"weave", "sew"}, Hours: 14, Languages: spanish, Named: true,
		Reach: "Aviso en la capilla, los domingos"}},
	{"matilde", workshop.Member{Name: "Matilde Oquendo", Skills: []string{"weave", "brocade", "dye"}, Hours: 15, Languages: spanish,
		Reach: "Sólo de palabra; no lee mensajes", Away: true, Note: "Con su nieto recién nacido."}},
	{"hilaria", workshop.Member{Name: "Hilaria Puente", Skills: []string{"weave", "pick-up", "sew", "teach"}, Hours: 20, Languages: spanish, Named: true,
		Reach: "En el taller, miércoles y viernes"}},
}

var customers = []named[workshop.Customer]{
	{"boya", workshop.Customer{Name: "Librería La Boya", Contact: "boya@example.org", Language: "es", Note: "Vende las bufandas en el mostrador."}},
	{"ofelia", workshop.Customer{Name: "Ofelia Marchant", Contact: "ofelia@example.org", Language: "es", Note: "Manga corta; prefiere colores oscuros."}},
	{"escuela", workshop.Customer{Name: "Escuela de la Barra", Contact: "Dirección, por las mañanas", Language: "es"}},
	{"faro", workshop.Customer{Name: "Hostal El Faro Viejo", Contact: "faro@example.org", Language: "es"}},
	{"marejada", workshop.Customer{Name: "Casa Marejada", Contact: "marejada@example.com", Language: "es", Note: "Paga al recibir."}},
	{"meson", workshop.Customer{Name: "Mesón del Estero", Contact: "Preguntar en la cocina", Language: "es"}},
	{"juncos", workshop.Customer{Name: "Posada Los Juncos", Contact: "juncos@example.org", Language: "es", Note: "Cuartos fríos: cobijas de lana."}},
	{"sal", workshop.Customer{Name: "Tienda Sal y Nudo", Contact: "sal-y-nudo@example.com", Language: "es"}},
	{"botica", workshop.Customer{Name: "Botica del Muelle", Contact: "En la botica", Language: "es"}},
	{"museo", workshop.Customer{Name: "Museo de la Salina de Anzales", Contact: "museo@example.org", Language: "es", Note: "Pide la historia de cada figura."}},
	{"maren", workshop.Customer{Name: "Maren Whitloe", Contact: "maren@example.net", Language: "en", Note: "Writes in English; ships abroad."}},
	{"coro", workshop.Customer{Name: "Coro de la Ribera", Contact: "Ensayo los lunes", Language: "es"}},
}
