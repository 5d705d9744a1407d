package workshop

import "slices"

// Role is what someone is in a workshop.
type Role string

const (
	Head       Role = "head"
	Dyer       Role = "dyer"
	Seller     Role = "seller"
	Bookkeeper Role = "bookkeeper"
	MemberRole Role = "member"
)

// Roles is every role.
var Roles = []Role{Head, Dyer, Seller, Bookkeeper, MemberRole}

// Person is someone signed in. The zero Person is a stranger.
type Person struct {
	Account  string
	Workshop string
	Name     string
	Role     Role
	Member   string // her record, if she is a member
	Lang     string
	Scopes   string // of the token she is here by, a space between; empty: she is here herself
}

// right is one thing a role may do or see.
type right string

const (
	seeOwn       right = "see own work" // what a member sees: her own
	seeShop      right = "see the workshop"
	editSales    right = "customers and orders"
	editDesign   right = "cloths and figures"
	editYarn     right = "yarn"
	editPeople   right = "members"
	giveWork     right = "give work out and take it back"
	tellWork     right = "tell progress"
	seePay       right = "see pay" // a member her own
	editFinish   right = "finish and deliver"
	editPay      right = "pay"
	editBooks    right = "prices and books"
	editSettings right = "settings and accounts"
)

// may says what each role may do.
var may = map[Role][]right{
	Head:       {seeOwn, seeShop, editSales, editDesign, editYarn, editPeople, giveWork, tellWork, editFinish, seePay, editPay, editBooks, editSettings},
	Dyer:       {seeOwn, seeShop, editDesign, editYarn, giveWork, tellWork},
	Seller:     {seeOwn, seeShop, editSales, editDesign, editFinish},
	Bookkeeper: {seeOwn, seeShop, editSales, seePay, editPay, editBooks},
	MemberRole: {seeOwn, tellWork, seePay},
}

// needs is the right each method of House asks for; a test holds it to the
// methods there are.
var needs = map[string]right{
	"Settings": seeOwn, "SaveSettings": editSettings,
	"Accounts": editSettings, "SaveAccount": editSettings, "MakeCard": editSettings, "DropCards": editSettings, "GiveFeed": editSettings, "EndFeed": editSettings,
	"ChangePassphrase": seeOwn, "SetLang": seeOwn,
	"Customers": seeShop, "Customer": seeShop, "SaveCustomer": editSales,
	"Orders": seeShop, "Order": seeShop, "SaveOrder": editSales, "ConfirmOrder": editSales, "CancelOrder": editSales,
	"ChooseLots": editYarn,
	"Cloths":     seeShop, "Cloth": seeShop, "SaveCloth": editDesign, "Versions": seeShop,
	"Drafts": seeShop, "SaveDraft": editDesign, "DropDraft": editDesign, "SaveDesign": editDesign,
	"BackTo": editDesign, "SaveBranch": editDesign, "Compare": seeShop, "LotInCloth": seeShop, "LotInOrder": seeShop,
	"Figures": seeShop, "Figure": seeShop, "SaveFigure": editDesign,
	"Lots": seeShop, "Lot": seeShop, "SaveLot": editYarn, "Receive": editYarn, "Discard": editYarn,
	"Recipes": seeShop, "Recipe": seeShop, "SaveRecipe": editYarn, "DropRecipe": editYarn,
	"Supplies": seeShop, "Supply": seeShop, "SaveSupply": editYarn, "Buy": editYarn, "UndoBuy": editYarn, "Spoil": editYarn,
	"WishDye": editYarn, "ProposeDye": seeShop, "AcceptDye": editYarn, "DyeCalendar": seeShop,
	"Dyeings": seeShop, "Dyeing": seeShop, "BeginDyeing": editYarn, "DoneStage": editYarn, "OutOfBath": editYarn,
	"ColourDyeing": editYarn, "JudgeDyeing": editYarn, "UndoDyeing": editYarn,
	"ColourLot": editYarn, "ColourShelf": seeShop, "Story": seeShop, "Picture": seeShop, "LayPhoto": editYarn, "LaidPhoto": editYarn,
	"Shade": seeShop, "SaveSample": editYarn, "DropSample": editYarn, "SaveTrial": editYarn, "Reached": seeShop,
	"Members": seeShop, "Member": seeShop, "SaveMember": editPeople,
	"Jobs": seeOwn, "Job": seeOwn, "GiveOut": giveWork, "Laid": tellWork, "Tell": tellWork, "TakeBack": giveWork, "Paid": editPay,
	"Pieces": seeShop, "Piece": seeShop, "Finish": editFinish, "Deliver": editFinish, "Return": editFinish, "Repair": editFinish,
	// Pay, Statement and Payout show a member her own.
	"Pay": seePay, "Statement": seePay, "Payout": seePay,
	"TellWork": editPay, "CountWork": editPay, "DropWork": editPay, "GiveAdvance": editPay, "UndoAdvance": editPay, "PayOut": editPay, "UndoPayOut": editPay,
	"PayOver": seePay, "RaisePay": editPay, "Entry": editBooks,
	"SaveMoneyHouse": editBooks, "CostOrder": editSales, "Quotes": editSales, "Quote": editSales, "TryQuote": editSales, "MakeQuote": editSales,
	"AcceptQuote": editSales, "UndoAccept": editSales, "PriceList": editSales, "OrderMoney": editSales, "TakeDeposit": editSales,
	"OrderLinks": editSales, "MakeLink": editSales, "DropLink": editSales,
	"Cards": seeShop, "PieceCard": seeShop, "ShowCards": editFinish, "HideCard": editFinish, "OfferPiece": editFinish, "PhotoPiece": editFinish,
	"Papers": editSales, "Paper": editSales, "MakeInvoice": editBooks, "TakePayment": editBooks, "UndoPaper": editBooks,
	"Journal": editBooks, "Books": editBooks, "Profit": editBooks, "PostEntry": editBooks, "ReverseEntry": editBooks, "ClosePeriod": editBooks,
	"AuditBooks": editBooks, "ExportBooks": editBooks,
	// UndoJob and Restore ask besides for the right of what is undone.
	"UndoJob": seeOwn, "UndoPiece": editFinish, "Restore": seeShop,
	"Today": seeOwn, "Search": seeShop, "History": seeShop,
	"CheckBooks": editSettings,
	// ServerKeeper asks besides for the first workshop of the server.
	"ServerKeeper": editSettings,
	// A table asks besides for the right of what it brings.
	"PreviewImport": seeShop, "ApplyImport": seeShop, "Wares": seeShop, "SaveWare": editSales, "DropWare": editSales,
	"PersonData": editSettings, "ErasePerson": editSettings, "Invite": editSettings,
	"Partners": editSettings, "InvitePartner": editSettings, "AnswerPartner": editSettings, "AgreePartner": editSettings, "EndPartner": editSettings,
	"Federation": seeShop, "YarnOffers": seeShop, "OfferYarn": editYarn, "WithdrawYarn": editYarn,
	// SaveHours leaves others' hours to who may change members; MakeFeed and DropFeed
	// ask besides for the right of Timetable for the workshop's calendar.
	"Hours": seeOwn, "SaveHours": seeOwn, "Turns": seeOwn, "MemberMonth": seeOwn, "Feeds": seeOwn, "MakeFeed": seeOwn, "DropFeed": seeOwn,
	"Timetable": seeShop, "AcceptTimetable": giveWork, "TryMove": giveWork, "MoveStep": giveWork, "Retellings": seeShop, "UndoTelling": giveWork,
	"WhyDate": seeShop, "Earlier": seeShop,
	"PromiseFor": seeShop, "EarlierFor": seeShop, "GivePromise": editSales, "Promises": seeShop, "LateOrders": seeShop, "PromisesKept": editSettings,
	"SaveClass": editSales, "Learners": editSales, "Class": seeShop, "Classes": seeShop,
	// A token is its owner's; by one she makes no others.
	"Tokens": seeOwn, "MakeToken": seeOwn, "DropToken": seeOwn,
	"Hooks": editSettings, "Hook": editSettings, "SaveHook": editSettings, "DropHook": editSettings, "TurnSecret": editSettings, "TryHook": editSettings, "WakeHook": editSettings,
	// TellHand asks besides for the right of what is told of a warp.
	"Hand": seeOwn, "TellHand": seeOwn, "Sayings": seeShop, "HeardSaying": giveWork,
	"Worked": tellWork, "AnswerRecord": tellWork, "Questions": seeOwn,
}

// allowed refuses a call that a person has no right to.
func allowed(p Person, call string) error {
	if p.Workshop != "" && slices.Contains(may[p.Role], needs[call]) && p.InScope(call) {
		return nil
	}
	return &Error{Code: Denied}
}

// May says whether a person may make a call; pages leave out what she may not.
func (p Person) May(call string) bool { return allowed(p, call) == nil }

// onlyOwn says whether a person sees only her own work.
func onlyOwn(p Person) bool { return !slices.Contains(may[p.Role], seeShop) }
