"""The fault log of the tide computer as the volunteers wrote it, in one compact table.

`signal > slot of a load` (or `signal @ slot of the source > …`), what was wrong with the pulse
(or - where the pulse was good when looked at), how often, under what conditions; then a line of
what was seen. `+` what was tried, what was read, minutes. `=` outcome, cause, cure. `!` it came
back: days later, what was seen. A fault whose last line is no `=` is open. A deeper line goes on
from the one above it.
"""

FAULT_TABLE = """
digit pulse > C-03 | rings | about once a minute | more when rack E is running
  Constituent M2 counts double about once a minute.
  + Swapped the first valve of C-03 with that of C-05 | no change | 40
  + Scope on C-03/2 with rack E on and off | overshoot well over the limit, a second crossing 0.2 µs after the
    first | 55
  = cured | The edge rings on the bare run from the tray and crosses the threshold twice. | Series resistor at
    B-05/7.
  ! 61 | M2 doubles again, twice in an hour, after the loom was tied up.
  + Moved the loom by hand while Sven watched the counter | doubles when the wire lies on the heater pair | 35
  = cured | Wire lay against the heater pair of rack C; hum moved the threshold. | Wire laid on the far side
    of the rack and tied there.
clock B1 > B-02 | - | every start | first ten minutes from cold
  Decoder 1 silent for some minutes after heaters on, then right for the day.
  + Warmed V1 of B-02 with the hair drier | starts at once | 25
  + Changed V1 | starts with the others | 15
  = cured | V1 of B-02 slow to warm; emission low on the tester. | V1 changed for a tested one.
drum mark > A-04 | low | always | from the first run
  Origin mark missing every few turns.
  + Measured the drum mark at A-04 | height far too low | 20
  + Measured at A-03 | the same, so not the wire | 15
  + Gap of the mark head with feelers | 90 µm, drawing asks 60 µm | 70
  = cured | Mark head stood off too far. | Head set to 60 µm and locked by Sven.
tide clock > C-01 | - | once | after the October storm
  No clock in rack C.
  + Rang the wire | open | 10
  + Looked at A-02/4 with the glass | dry joint, lifted with a finger nail | 10
  = cured | Dry joint at A-02/4. | Joint made again, seen by the second person.
count 2b > A-11 | slow | always | any
  Half word gate opens late and now and then not at all.
  + Scope at A-11 | edge slow, like a capacitor charging | 20
  + Scope at A-07 | the same at the source | 10
  + Changed V4 of A-07 | edge as it should be | 20
  = cured | Follower V4 of A-07 had lost one heater; only the anode load drove the wire. | V4 changed.
K1 phase back > D-03 | low | always | any
  K1 drifts from the hand sum by a digit every few hours.
  + Compared K1 and O1 phase back | K1 a third lower | 20
  + Changed over the two heads at B-14 | the low one stays with the head | 45
  = cured | Head of the K1 track partly open. | Head changed for the second spare; first one to Edie to rewind.
carry bus @ C-04 > D-12 | - | now and then | only with three or more constituents on
  A carry of S2 is lost when M2 and N2 carry at the same time.
  + Watched the bus with one, two, three sources | height falls with each source added | 60
  + Lifted the wire from C-05 for the time of a test | no loss | 20
  = cured | Each source loads the bus with its own 10 k to chassis; one is enough. | The 10 k taken out of
    C-04 and C-05, as on the survivor. Gwen has the mark.
read gate > B-08 | short | always | any
  Last digit of every phase read as nought.
  + Measured the gate at B-08 | ends two microseconds too early | 15
  + Compared digit times 23 and 24 at A-11 | wrong one of the two on the gate | 35
  = cured | Two wires changed over on the tag strip inside A-11. | Changed back; drawing was right.
strobe C1 > C-04 | - | twice a day | when the lift runs
  S2 loses one strobe and lags a digit time.
  + Ran the lift up and down for half an hour | one loss in eleven runs | 40
  + Scope on mains filter of rack C | spikes of 4 V on the earth bond | 25
  = cured | Earth bond of rack C loose under its washer, 90 mΩ. | Bond cleaned and tightened, 4 mΩ now. Ilse
    signed.
  ! 34 | S2 lagged again, once, lift not running.
  + Ran four hours with the counter on it | nothing seen | 60
  = no fault found
address > F-06 | tall | always | any
  Coincidence comes at neighbours of the wanted address.
  + Scope at F-06/1 | half as tall again; the small pulses in the gaps count as digits | 15
  + An attenuator in crocodile clips | right at once | 30
  = cured | The address register is built for all three table tracks and drives one. | Attenuator, 1.2 k at
    the load.
origin mark > F-06 | - | about every tenth turn | drum warm
  Table starts one sector late.
  + Watched the origin mark at both ends | moves by 0.3 µs as the drum warms | 80
  + Let the drum cool | comes back | 40
  = cured | Front bearing of the drum runs warm and lifts the head plate. | Bearing greased as Sven's note
    says; mark steady for six hours.
amplitude bus @ D-03 > G-03 | tall | always | any
  Product of K1 wrong in the top digit.
  + Measured the bus at G-03 | half as tall again as the limit | 15
  = cured | Source of D-03 built for two loads and has one. | Attenuator, 1.2 k at the load.
phase bus @ C-05 > F-05 | - | sometimes | only while N2 is sent
  Address of N2 wrong in one digit, not always the same one.
  + Half-split from C-05 to F-05 | good at the tray, bad at F-05 | 45
  + Rang for a short to its neighbour | 40 kΩ to the wire beside it | 20
  = cured | Lacing cord had cut the covering; damp between the two wires. | Both wires renewed over that metre.
sign bus @ D-04 > C-06 | slow | always | any
  O1 is added when it should be taken away, at every turn of the tide.
  + Scope at C-06/4 | edge takes twice its time | 20
  + Measured V5 of D-04 at rest | cathode 20 V too low | 15
  = cured | R14 of D-04 gone high, 180 k instead of 68 k. | R14 changed; like for like.
digit time 9 > D-07 | - | once a week or so | unknown
  K1 phase adder adds nothing for one word.
  + Left a counter on D-07/12 from Wednesday to Sunday | two pulses missing in 31 hours | 30
  + Tapped all joints from B-03 to D-07 | nothing | 45
  = no fault found
  ! 40 | Missing again: four in one afternoon, damp day.
  + Moved the wire at each tie | stops when held near the third tie | 50
  + Opened the loom at the third tie | strand broken inside its covering | 35
  = cured | Conductor broken inside the covering where it was bent twice. | Wire renewed from the tray down.
write gate > B-11 | - | once | first run of write amplifier 1
  Wrote over two neighbouring words.
  + Compared write gate and word gates | gate right, word gate 6 came a digit late | 50
  = cured | Word counter 2 was still a stand-in with the wrong load. | Stand-in set right and labelled so.
multiplicand > G-03 | low | always | any
  Products come out as nought.
  + Measured at G-03 | too low for the gate | 15
  + Measured at G-02 with the wire lifted | full height | 20
  + Resistance of G-03/1 to chassis | 1.1 kΩ, drawing says 47 k | 20
  = cured | Load resistor of G-03 wrong by a band, 1 k for 47 k. | Changed; Ravi looks through his drawer.
clock D1 > D-12 | rings | always | any
  The carry restorer gives two carries for one.
  + Scope at D-12/2 | a second crossing on most pulses | 15
  = cured | The clock gate of rack D has the stiff output stage of issue D. | Series resistor at D-01/5; same
    in E to H.
half word gate > C-03 | - | after two hours | hot days
  Low half and high half of the M2 term change places.
  + Measured at 20 °C and at 29 °C in the rack | gate drifts by 0.4 µs | 90
  + Cold spray on A-11, part by part | jumps back when C9 is cooled | 30
  = cured | C9 of A-11, old ceramic. | C9 changed for silvered mica.
local digit E1 > E-07 | - | often | only while the radio mast next door sends
  Phase of K2 picks up digits that were never sent.
  + Ten minutes with the neighbour's sender on, ten off | only while it sends | 40
  + Earthed the screen at one end only | much less, not gone | 30
erase pulse > B-11 | tall | always | any
  Old phases come through faintly, new ones are rubbed out too.
  + Measured at B-11/3 | far over the limit | 15
  = cured | Former 3 was set up without its load. | Attenuator at the load; to be tried again with write
    amplifier 3.
height digits > H-08 | short | always | any
  Low water found an hour early.
  + Measured at H-08/1 | pulse too short | 15
  + Bench sheet of H-02 | it was just inside there with the lighter load | 20
  + Changed V7 of H-02 | no change | 25
decade carry 1 > H-05 | slow | always | any
  Tens stay behind units by one.
  + Scope at H-05/2 | edge far too slow | 15
  + Changed V3 of H-04 | a little better, still outside | 20
local digit G1 > G-03 | - | every few minutes | only when G-12 has run for an hour
  Multiplier stage 1 misses a digit.
  + Watched both ends for an hour | source good, load misses | 60
  + Rang the wire warm | 0.4 Ω, then 11 Ω when moved | 15
  = cured | Crimp at G-03/10 took the covering with it. | Cut back and soldered.
  ! 18 | Misses again after the rack was moved for the floor.
  + Rang it once more | 0.4 Ω and steady | 15
strobe B1 > B-09 | - | twice | both times on a Sunday after six
  K1 and O1 read as noughts for some seconds.
  + Asked who switched what | the kettle | 10
  = cured | Heater supply of rack B drops to 5.7 V while the kettle draws. | Kettle moved to the kitchen
    circuit, a note taped to the socket.
"""
