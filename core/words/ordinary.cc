#include "core/words/lexicon.h"

namespace crankwise::words {

namespace {

// English that a workshop hears every day. Words that phrases use need not be here: what is known is never guessed.
constexpr std::string_view kOrdinary =
    "absolute agent aim alter apart appear apple attitude axle baffle baggy bags bail bake bale band bank bare bark "
    "base basket bead beam bean bear beat beautiful bed been beer bend bent best bird bite bitter blade blank blew "
    "blink blip blob block blog blood blot boat bold bolt bond bone book boost boot bore born boss both bottle bought "
    "bounce bound bowl bowls box brace brand brass brave bread breath brick bridge brief bring bristle brother "
    "brought brush bucket buggy bulb bump bunch bush butter bypass cage cake camera camp card care carry cart case "
    "cash cast cause caution cell cent chain chair chance chart chase chat cheap check cheek cheese chew chip choose "
    "chore claim clamp clause clear clearer clip clock cloth cloud clutch coal coat coin comb comet compare complete "
    "compress cone connect consider cook cool cooler copper copy cord core cork cost cotton count course cover crack "
    "crane creak crease create crew crop cross crown cruise crumble crush cry cube cure curve customer damage dark "
    "dash date dawn dead deal dear declaration decorate deep dent describe deserve design dirt dirty dish dive dose "
    "dot draw drawn dress drift drill drink drive dry duct due dump dune each early earth ease east eat edge eighty "
    "either electrical else enable end endure engage enough even evening event exact example expect extra eye face "
    "fact factory failed fair fake false fan fancy far farm faster fate father faulty favour fear feature feed feet "
    "fence fender fetch fiddle field fifth fight file fill find finger finish firm fish fix flap flash flight float "
    "floor flow flush flutter flying fold folk follow food fool foot force fork form fort fought found frame freak "
    "free fresh friend front frozen fruit fuse gain game gap garage gate gather gauge gave gentle ghost gift girl "
    "give glad glass glow glue goal goggles gold gone grab grade grand grass grease great greet grid grip grit groove "
    "gross ground group grow guard guide hail hall hand handle handy happen harm harness hash hate haul hauled head "
    "health heap hear heard heart heat heavy height held helmet help hidden hide hint hire hold hole home hook hope "
    "horn horse hose host hour house hurt idea ideal ideas identical ignite inch info insider inspect iron issue item "
    "jack jerk jerky jest jet job jolt jump keen key kids kill killer kind knee knob knock knot label lace lack lady "
    "lake lamp lane large last late later laugh law layer lead leaf leap learn least leather leave left legs lend "
    "length lens less letter level lever license lick life lift like limit line link lint lip list listen live liver "
    "loan local logic long look loom loop loose loosen lord loud love luck lump lunch made magic mail main maker male "
    "many map mark mass match mate matter maybe mean measure meet melt member mention menu mess metal meter might "
    "mild mile mill mind mini minor mirror mist model moist month mood moon moss most moth mother mount mouth move "
    "mower name narrow near neat neck need needle neither nerve nest newer newest next nice night none nose note "
    "notice nuts occasion odour offer oily open opener operate operating order other ought outer oven overall "
    "overcome overhead overtake owner oxide pace pack page paid pain paint pair panel pants parade pare park part "
    "party paste patch path pause pay peak pedal peel pen perfect petal pick piece pile pill pinch pint pit place "
    "plain plan plane plant plastic plate play please pliers plot plunge plus point poke pole pond pool porous port "
    "pose post pot pound pour powder press pressure pretty prevent price prick prime primer print prize probe profile "
    "progress progressive promise proof propel property protect prove pulley pulp purchase purpose push puts quick "
    "quiet quite quote racer rack radiate radiator radio rage rail raise rally ramp range rare rarely raspberry rate "
    "ratio read reader ready real rear reason recent record recover red reel refer region reject relay release rely "
    "remark remove rent repair repeat replies reply report request rescue resistant resolution response rest restore "
    "result return reuse reveal review revolt rich rider ridge rinse rip rise risk roar rock rode role rolling roof "
    "room root rope rotate rotten round route row rub rubble ruin rule run runway rush rust sack safe said sail sale "
    "salt same sand sang save scale scan scare scene school scope score scrape scratch screen screw sea seal search "
    "season seat seated section see seed seek seem seen self sell send sense sensor series service set setting shade "
    "shaft shaken shallow shape share sharp sheet shell shift shim shine ship shirt shock shoot shop shore short shot "
    "should shoulder shout shove show shower shroud shutter side sight sign silence silences silent silicone silver "
    "similar simple since sing single sink site situation size sized skate skid skill skim skin skip sky slack slam "
    "sleep sleeve slice slide slight slim slink slot small smart smooth snag snitch snow soak soap soft soil sold "
    "solder sole solid some song soon soot sooty sore sort source south space spacer span spare sparkle spatter speak "
    "special speed spell spend spent spike spin splash splint split spoke spoon spot spray spread spring stable stack "
    "staff stage stain stake stamp stamps star stare state stay steady steel steep steer stem step stick stiff still "
    "stitch stock stone stood stool storey storm story stove straight straighten strand stranded strange strap straw "
    "stream street stretch strike string strip stripe strong struck stuff sturdy stutter style such suck suit sum sun "
    "sunny supply support sure surface swap sweat sweep swim swing symptom table tail take taken tale talk tall tank "
    "tape tapping target task taste tear tech tell tend tent terminal test than thank then theory these they thick "
    "thin thing think third thirst this thorough thought thread threw throat throw thumb tide tidy tight tile tilt "
    "time tip tire tired title today toe told tone tool tooth top torch torn total touch tour tow town track trade "
    "traffic trail train travel treat tree trial tribe trick tried trigger trim trip truck true trust truth tube "
    "tumble tune turf turn twelve twin twist twitch type tyre under unit unlocked update upset urge usable user usual "
    "value vary vehicle vent version very view violet visible visit voltage volts wade wait waiting wake walk wall "
    "want warn waste watch watt wave wax way weaken wear weather weed week weigh weird weld went west whatever wheel "
    "where whip whole wick wide wife wild wind windy winner winter wipe wire wiring wise wish witness wobble wonder "
    "wondering wood wool word work world worn worry worth wound wrap wreck wrench wrist write wrong wrote yard year "
    "yellow yoke young";

}  // namespace

std::string_view ordinary_words() { return kOrdinary; }

}  // namespace crankwise::words
