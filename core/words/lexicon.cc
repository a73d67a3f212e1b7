#include "core/words/lexicon.h"

namespace crankwise::words {

namespace {

// clang-format off
constexpr WordClass kClasses[] = {
    // ---- grammar
    {"void", kVoid,
     "=a =an =the =it =its =is =was =are =were =be =been =being =am =im =my =me =we =he =she =they =this =that "
     "=these =those =i =ive =id =you =your =his =her =our =their =them =him =us =do =does =did =done =will =would "
     "=could =should =may =might =must =shall =having =youre =hes =s =t =ll =re =ve =who =whom =what", ""},
    {"not", kNot,
     "=not =no =never =cannot =cant =wont =dont =doesnt =didnt =isnt =wasnt =arent =werent =wouldnt =couldnt "
     "=shouldnt =hasnt =havent =hadnt =aint =nt =neither =non =zero =hardly =wouldnot =willnot =doesnot =didnot "
     "=nae",
     "refuse to; fail to; unable to; not able to; lack of; lack; not longer; not sign of; not hint of; "
     "not trace of; not kind of; not sort of; scarcely any"},
    {"without", kWithout, "=without =minus", ""},
    {"has", kHas, "=has =have =had =got =gotten =there =theres", ""},
    {"nothing", kNegating, "=nothing =nowt =none =nil", ""},
    {"or", kBreakOr, "=or =nor", ""},
    {"and", kBreakAnd, "=and =plus =also", ""},
    {"then", kBreakComma,
     "=then =but =though =although =because =cos =cause =which =whereas =while =whilst =however =yet =except "
     "=unless =afterwards", ""},
    {"glue", kGlue, "=if =than =via =per =onto =during =about", ""},
    {"as", kGlue, "=as =like", ""},
    {"for", kGlue, "=for", ""},
    {"from", kGlue, "=from", ""},
    {"by", kGlue, "=by", ""},
    {"to", kGlue | kLink, "=to", ""},
    {"of", kGlue, "=of", ""},
    {"with", kGlue, "=with", ""},
    {"around", kGlue, "=around", ""},
    {"through", kGlue, "=through =thru =throught", ""},
    {"at", kGlue, "=at", ""},
    {"on", kGlue, "=on =upon", ""},
    {"in", kGlue, "=in =inside =within =into", ""},
    {"after", kGlue, "=after =following", ""},
    {"when", kGlue, "=when =once =whenever =where", ""},
    {"get", kFiller, "=get =gets =getting =become =becomes =became =becoming", ""},
    {"keep", kFiller, "=keep =keeps =kept =keeping", ""},
    {"want", kFiller, "=want =wants =wanted =try =tries =tried =trying", ""},
    {"feel", kFiller,
     "=feel =feels =feeling =felt =sound =sounds =sounded =sounding =act =acts =acting =acted =look =looks =looked "
     "=looking =seem =seems =seemed =appears", ""},
    {"filler", kFiller,
     "=maybe =perhaps =bit =quite =really =very =somewhat =kind =kinda =sort =sorta =even =still =rather =pretty "
     "=so =almost =nearly =ever =already =now =again =extremely =totally =completely =absolutely =some =such =own "
     "=always =often =usually =mostly =more =badly =terribly =awfully =horribly =severely =heavily =probably "
     "=think =reckon =guess =basically =apparently =simply =anymore =longer =clearly =definitely =proper =bloody "
     "=damn =single =happens =happening =thing", "not only; not just"},
    {"up", kParticle, "=up", ""},
    {"down", kParticle, "=down", ""},
    {"out", kParticle, "=out", ""},
    {"off", kParticle, "=off", ""},
    {"away", kParticle, "=away", ""},
    {"number", kFiller,
     "few couple five six seven nine ten eleven twelve fifteen twenty thirty forty fifty hundred thousand", ""},

    // ---- good, bad, how much
    {"good", kGood,
     "good fine ok okay strong well perfect =perfectly great healthy normal =normally alright =nicely =happily "
     "present lovely faultless =faultlessly beautifully =properly excellent decent plenty",
     "not trouble; not problem; not issue; not bother; not difficulty; without trouble; without problem; "
     "without issue; nothing wrong; as should; first kick; second kick; one kick; first pull; on button; "
     "every time"},
    {"easy", kGood, "easy =easily", ""},
    {"bad", kPlain, "bad poor =poorly terrible rough =roughly awful rubbish horrible",
     "not good; not right; not very good"},
    {"many", kPlain, "many lots lot several dozens multiple =much numerous", ""},
    {"worse", kPlain, "worse worsen deteriorate", ""},
    {"until", kPlain, "=until =till", ""},
    {"only", kPlain, "only =solely", ""},

    // ---- circumstances
    {"fullthrottle", kCircumstance, "=wot =pinned =fullthrottle",
     "wide open throttle; wide open; full throttle; throttle wide open; flat out; full gas; full bore; full tilt; "
     "full chat; throttle fully open; fully open throttle; fully open; full open; all way open; throttle to stop; "
     "against stop; throttle pinned; pinned throttle; fully opened; open fully; maximum throttle; max throttle; "
     "to stops"},
    {"threequarter", kCircumstance, "=3/4", "three quarter; 3/4 throttle; three quarter throttle"},
    {"halfthrottle", kCircumstance, "midrange midthrottle",
     "half throttle; mid throttle; part throttle; middle of throttle; mid range; middle range; 1/2 throttle; "
     "half open; medium throttle; partial throttle; middle of range; halfway; half way"},
    {"quarterthrottle", kCircumstance, "", "quarter throttle; 1/4 throttle"},
    {"smallthrottle", kCircumstance, "",
     "small throttle; low throttle; just off idle; off idle; light throttle; 1/8 throttle; eighth throttle; "
     "little throttle; barely open; just cracked"},
    {"closedthrottle", kCircumstance, "",
     "closed throttle; throttle closed; shut throttle; throttle shut; closing throttle; close throttle"},
    {"overrun", kCircumstance, "overrun decel =deceleration =decelerating =decelerate",
     "over run; backing off; back off; back off throttle; let off; let off throttle; let off fuel; engine braking; "
     "roll off; roll off throttle; off throttle; off fuel; shut off throttle; chop throttle; throttle chop; "
     "trailing throttle; let go of throttle"},
    {"top", kCircumstance, "",
     "up top; on top; at top; on top end; at top end; high rev; high rpm; higher rev; high engine speed; "
     "upper rev; top of range; high up; up high; top of rev range; highest rev; on pipe; upper range; top range; "
     "high in rev"},
    {"topend", kCircumstance | kDuty, "topend", "top end"},
    {"bottomend", kCircumstance, "", "bottom end; low end"},
    {"low", kCircumstance, "",
     "low down; down low; low rev; low rpm; lower rev; low speed; off bottom; at bottom; on bottom; "
     "bottom of range; low in rev; low engine speed; lower range; down bottom"},
    {"hot", kCircumstance | kVague, "hot warm hotter warmer =heated",
     "warm up; heat up; hot soak; heat soak; at temperature; up to temperature; operating temperature; up to temp; "
     "at temp"},
    {"anytemp", kCircumstance, "", "hot or cold; cold or hot; hot and cold; cold and hot"},
    {"cold", kCircumstance | kVague, "cold", "stone cold; cold soak"},
    {"neutral", kCircumstance, "neutral unloaded",
     "on stand; on bench; not load; without load; clutch in; clutch pulled in; standing still; out of gear; "
     "at standstill; paddock stand"},
    {"underload", kCircumstance, "", "under load; with load; loaded"},
    {"suddenly", kCircumstance, "suddenly sudden abruptly overnight instantly",
     "all of sudden; out of nowhere; without warning; not warning; all at once; from one moment to next; "
     "out of blue; from one day to next; from one minute to next"},
    {"slowly", kCircumstance | kVague, "slowly gradually progressively steadily",
     "bit by bit; little by little; day by day; ride by ride"},
    {"intermittent", kCircumstance,
     "intermittent intermittently sporadic sporadically random randomly occasional occasionally erratically",
     "now and then; now and again; every now and then; every now and again; on and off; off and on; come and go; "
     "from time to time; time to time; every so often; once in while; when feels like it; not rhyme or reason"},
    {"snap", kCircumstance, "snap whack blip goose accelerate acceleration accelerator =accelerating",
     "throttle open; open throttle; throttle opening up; opening throttle; throttle given; given throttle; "
     "give throttle; throttle squeeze; squeeze throttle; crack open; crack throttle; snap open; snap throttle; "
     "throttle snap; throttle snap open; snap throttle open; whack open; whack throttle; whack throttle open; "
     "open up throttle; throttle whack open; hit throttle; throttle hit; twist throttle; get on throttle; "
     "get on fuel; give fuel; on fuel; hit fuel; on throttle; roll on throttle; throttle up; blip throttle; "
     "touch throttle; throttle applied; apply throttle; pull throttle; twist grip; open grip; yank throttle; "
     "quick throttle; throttle response"},
    {"rain", kCircumstance, "rain rainy raining", ""},
    {"uphill", kCircumstance, "uphill", "up hill; on hill; up steep hill"},

    // ---- what the engine does
    {"engine", kCommon, "engine motor bike machine motorbike motorcycle scooter moped quad atv", ""},
    {"start", kDuty, "start restart startup =starting",
     "start up; fire up; start back up; fire into life; come to life; bring to life"},
    {"hard", kPlain, "hard difficult tough awkward reluctant pig =harder swine", ""},
    {"kick", kPlain, "kick kickstart kickstarter =kicking kicker",
     "kick start; kick starter; kick pedal; kick lever; kick over"},
    {"kickback", kPlain, "kickback", "kick back; kick back at"},
    {"idle", kDuty, "idle tickover =idel", "tick over; slow running"},
    {"rev", kDuty, "rev rpm =revz =revolutions", ""},
    {"bog", kPlain, "bog boggy", ""},
    {"hesitate", kPlain, "hesitate hesitation hesitant falter", ""},
    {"fourstroke", kPlain, "fourstroke 4stroke", "four stroke; 4 stroke"},
    {"fourstrokebike", kPlain, "",
     "fourstroke engine; fourstroke motocross; fourstroke motocrosser; fourstroke single; fourstroke oil; "
     "fourstroke enduro; fourstroke race; fourstroke dirt; fourstroke trail; fourstroke quad; modern fourstroke"},
    {"blubber", kPlain, "blubber blubbery", ""},
    {"loadup", kPlain, "", "load up"},
    {"sputter", kPlain, "sputter splutter stutter spluttery", ""},
    {"misfire", kPlain, "misfire missfire misfiring", "mis fire; miss fire; miss a beat; miss beat; cut in and out"},
    {"breakup", kPlain, "", "break up; broke up; broken up"},
    {"backfire", kPlain, "backfire", "back fire"},
    {"cutout", kPlain, "cutout cutoff", "cut out; cut off; shut off; shut down; switch off; cut dead; cut engine"},
    {"die", kPlain, "die dies died dying", "die out; die off; die away"},
    {"quit", kPlain, "quit quits", "crap out; give up; gave up; pack up; packed in; give out"},
    {"conk", kPlain, "conk", "conk out"},
    {"stall", kPlain, "stall", ""},
    {"surge", kPlain, "surge", ""},
    {"starve", kPlain, "starve starvation starved", ""},
    {"run", kVague | kDuty, "run ran running", ""},
    {"runaway", kPlain, "runaway", "run away"},
    {"nonrunner", kPlain, "nonrunner", "not runner; not starter"},
    {"race", kPlain, "race", ""},
    {"raced", kPlain, "=raced", ""},
    {"tapping", kPlain, "=tapping =tappety", ""},
    {"miss", kVague, "miss", ""},
    {"turn", kVague, "turn", ""},
    {"stop", kVague, "stop", ""},
    {"hang", kPlain, "hang hung hanging", ""},
    {"power", kThing, "power oomph grunt poke zip pep punch", ""},
    {"compression", kThing, "compression comp", ""},
    {"spark", kThing, "spark", ""},
    {"lose", kTail, "lose losing lost loss loosing looses loses", ""},
    {"lean", kPlain, "lean leaned", "weak mixture"},
    {"weak", kVague, "weak feeble feebly =weaker", ""},
    {"dead", kVague, "=dead", ""},
    {"slow", kVague, "slow sluggish", ""},
    {"flat", kVague, "flat", ""},
    {"seize", kPlain, "seize siezed seizure sieze lock jam =jammed", "lock up; seize up; seize solid; lock solid"},
    {"seizedbefore", kPlain, "", "seize before; seize once"},
    {"stick", kPlain, "stick stuck sticky", ""},
    {"slip", kVague, "slip", ""},
    {"vibrate", kPlain, "vibrate vibration vibey", ""},
    {"ping", kPlain, "ping pink detonate detonation pinking pinging", ""},
    {"noise", kTail, "noise noisy", ""},
    {"louder", kPlain, "=louder =noisier", ""},
    {"smoke", kPlain, "smoke smoky smokey smokes", ""},
    {"smell", kTail, "smell stink reek stench smelly stinks", ""},
    {"burn", kPlain, "burn burnt", ""},
    {"use", kPlain, "use usage consume consumption", ""},
    {"leak", kTail, "leak leaky leakage seep weep", ""},
    {"flood", kPlain, "flood", ""},
    {"overflow", kPlain, "overflow", "over flow"},
    {"overheat", kPlain, "overheat", "over heat"},
    {"foul", kPlain, "foul", ""},
    {"choked", kVague, "=choked", ""},
    {"choke", kPlain, "choke", ""},
    {"drag", kVague, "drag", ""},
    {"bind", kVague, "bind", ""},
    {"hunt", kVague, "hunt", ""},
    {"climb", kVague, "climb", ""},
    {"standing", kVague, "stand stood sit sat", ""},
    {"bottom", kVague, "bottom", ""},
    {"outside", kVague, "outside", "out side"},
    {"wet", kVague, "wet", ""},
    {"damp", kVague, "damp", ""},
    {"stale", kVague, "stale", ""},
    {"everywhere", kVague, "everywhere", ""},
    {"fell", kVague, "=fell =fallen =dropped", "fell over; fallen over"},
    {"unused", kVague, "unused", ""},
    {"drown", kPlain, "drown", ""},
    {"crash", kPlain, "crash", ""},
    {"pull", kDuty, "pull", ""},
    {"fire", kDuty, "fire", ""},
    {"charge", kDuty, "charge", ""},
    {"go", kVague, "go goes went gone going", ""},
    {"overlast", kPlain, "", "over last; over past"},
    {"updown", kPlain, "", "up and down"},
    {"raspy", kPlain, "raspy raspier", ""},
    {"itself", kPlain, "=itself", "by itself; on own; of own accord; all by itself"},
    {"come", kPlain, "come came coming", ""},
    {"past", kPlain, "past beyond above", ""},
    {"lazy", kPlain, "lazy", ""},

    // ---- parts and stuff
    {"fuel", kPlain, "fuel petrol gas gasoline benzine", ""},
    {"carburettor", kPlain, "carb carbs carburettor carburetor carburator carburetter carby carbie carburetors", ""},
    {"silencer", kPlain, "silencer muffler", ""},
    {"gear", kPlain, "gear gearbox transmission tranny =trans", "gear box"},
    {"plug", kPlain, "plug sparkplug", "spark plug"},
    {"plugcap", kPlain, "plugcap", "plug cap; plug boot; plug lead; spark plug cap"},
    {"filter", kPlain, "filter airfilter", "air filter; air cleaner; airfilter"},
    {"fuelpump", kPlain, "", "fuel pump"},
    {"fueltap", kPlain, "", "fuel tap; fuel cock"},
    {"fueltank", kPlain, "", "fuel tank"},
    {"fuelline", kPlain, "", "fuel line; fuel hose; fuel pipe; fuel system; fuel side"},
    {"fuelfilter", kPlain, "", "fuel filter; oil filter"},
    {"airbox", kPlain, "airbox", "air box"},
    {"fuelcap", kPlain, "fuelcap", "fuel cap; tank cap; filler cap; petrol cap; gas cap"},
    {"powervalve", kPlain, "powervalve", "power valve; exhaust valve"},
    {"light", kPlain, "light headlight headlamp lamp", ""},
    {"flywheel", kPlain, "flywheel magneto", "fly wheel"},
    {"coolant", kPlain, "coolant antifreeze", "radiator water"},
    {"radiator", kPlain, "radiator rad", ""},
    {"change", kPlain, "replace renew change swap fitted fit install exchange =replaced =changed", ""},
    {"rebuild", kPlain, "rebuild rebuilt", "re built; re build"},
    {"clean", kPlain, "clean =cleaned cleaning", ""},
    {"buy", kPlain, "buy bought purchase", ""},
    {"store", kPlain, "store storage stored", ""},
    {"wash", kPlain, "wash jetwash jetwashed", "jet wash; pressure wash; power wash; hose down; hosed off"},
    {"pressurewash", kPlain, "", "pressure washer; power washer"},
    {"dust", kPlain, "dust dusty", ""},
    {"mud", kPlain, "mud muddy", ""},
    {"sand", kPlain, "sand sandy", ""},
    {"awhile", kPlain, "awhile", "after while; in while; for while"},
    {"minute", kPlain, "minute min mins", ""},
    {"opening", kPlain, "=opening =openings", ""},
    {"timing", kPlain, "=timing", ""},
    {"rattle", kPlain, "rattle rattly", ""},
    {"starter", kPlain, "starter e-start", "electric start; electric starter"},
};

constexpr NearClass kNear[] = {
    {0.82, "die quit stop cutout conk stall"},
    {0.82, "bog hesitate stumble"},
    {0.82, "leak drip dribble"},
    {0.85, "vibrate buzz shake"},
    {0.82, "seize stick"},
    {0.80, "pop bang backfire"},
    {0.85, "pop crackle"},
    {0.85, "new change"},
    {0.70, "top topend"},
    {0.90, "closedthrottle overrun"},
    {0.95, "fuelpump pump"},
    {0.85, "fueltank tank"},
    {0.95, "open opening"},
    {0.80, "hot overheat"},
    {0.85, "rattle clatter"},
    {0.85, "only just"},
    {0.80, "week month ride day"},
    {0.80, "mile minute second"},
    {0.80, "take need"},
    {0.85, "low bottomend smallthrottle"},
    {0.85, "rain damp wet"},
    {0.80, "weak soft poor bad"},
    {0.85, "smoke steam"},
    {0.85, "fuelcap cap"},
    {0.85, "climb uphill hill slope"},
    {0.85, "misfire sputter breakup"},
};
// clang-format on

}  // namespace

std::span<const WordClass> word_classes() { return kClasses; }
std::span<const NearClass> near_classes() { return kNear; }

}  // namespace crankwise::words
