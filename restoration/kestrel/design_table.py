"""The designs of the tide computer as one compact table.

A row is: drawing number, serial prefix, issues so far, title, what it does; then its terminals
in order. A terminal is `<signal` where the chassis takes a signal in, `>signal:class` where it
gives one out. Words in braces are filled in by the slot the chassis sits in: {r} the rack,
{n} the number within its kind, {g} which clock gate of the rack, {c} a constituent, {t…} a digit
time, {w…} a word gate. A terminal whose word the slot does not know stays unwired there.
"""

DESIGN_TABLE = """
201 CO 3 | Clock oscillator | Sets the rhythm of the tide clock, pulled to the drum by the speed correction
  <speed correction; <run gate; >tide clock raw:clock; >clock quarter:clock
202 CL 4 | Clock gate | Lets the tide clock into one rack and gives that rack its clear and strobe
  <tide clock; <run gate; <word gate {w1}; <digit time {t1}; >clock {r}{n}:clock; >clear {r}{n}:clear;
  >strobe {r}{n}:strobe
203 CS 2 | Clock shaper | Squares the raw clock and splits off the late clock and the write clock
  <tide clock raw; <clock quarter; <drum mark shaped; >tide clock:clock; >clock late:clock; >write clock:clock
204 CG 4 | Constituent generator | Holds the phase of one tidal constituent and gives its term
  <clock {r}{g}; <digit pulse; <{c} phase back; <cosine digits; <{c} constants; <clear {r}{g}; <strobe {r}{g};
  <digit time {t1}; <digit time {t2}; <word gate {w1}; <word gate {w2}; <half word gate; <product bus;
  <restored carry {x}; <sign gated {x}; <digit time {t4}; <digit time {t5}; <word gate {w3}; >{c} phase:train;
  >{c} term:train; >carry bus:carry; >phase bus:train; >amplitude bus:train; >sign bus:gate
205 PA 3 | Phase adder | Adds the hourly speed of a constituent to its phase, with the carries
  <clock {r}{g}; <{c} phase; <{c} constants; <digit pulse; <clear {r}{g}; <strobe {r}{g}; <digit time {t1};
  <digit time {t2}; <local digit {l}; <word gate {w1}; <dash pulse; <digit time {t4}; <digit time {t5};
  <word gate {w3}; >{c} phase write:write
206 SR 3 | Summing register, low | Adds the terms of all constituents, the twelve low digits
  <clock {r}{g}; <term bus; <sum low back; <sign bus; <clear {r}{g}; <strobe {r}{g}; <digit time {t1};
  <digit time {t2}; <word gate {w1}; <digit pulse; <dash pulse; <digit time {t4}; <digit time {t5};
  <word gate {w3}; >sum low:train; >sum low carry:carry; >sum low digits:train
207 SR 4 | Summing register, high | Adds the terms of all constituents, the twelve high digits and the sign
  <clock {r}{g}; <term bus; <sum high back; <sum low carry; <clear {r}{g}; <strobe {r}{g}; <digit time {t1};
  <digit time {t2}; <word gate {w1}; <mean level; <digit pulse; <digit time {t4}; <digit time {t5};
  <word gate {w3}; >sum high:train; >sum overflow:carry; >sum sign:gate
208 SB 2 | Sum back gate | Sends the sum round again until the hour is complete
  <clock {r}{g}; <sum low; <sum high; <hour pulse; <clear {r}{g}; <word gate {w1}; <digit time {t1};
  <digit time {t2}; <digit time {t4}; <digit time {t5}; <word gate {w3}; >sum low back:train;
  >sum high back:train; >sum ready:gate
209 MK 3 | Mark amplifier | Lifts the two mark tracks of the drum out of the noise
  <run gate; <read gate; >drum mark:drum; >drum mark second:drum
210 MS 2 | Mark shaper | Makes sharp marks of the drum's: every digit, every sector, the origin
  <drum mark; <drum mark second; <clock late; >drum mark shaped:strobe; >origin mark:strobe;
  >sector mark:strobe
211 PC 5 | Phase comparator | Compares clock and drum and corrects the speed of the clock
  <drum mark shaped; <tide clock; <sector mark; <digit time {t1}; <digit time {t4}; >speed correction:gate;
  >lock lost:gate
212 DC 3 | Digit counter | One of three stages that count the digits of a word
  <tide clock; <origin mark; <clear {r}{g}; <digit carry {p}; <strobe {r}{g}; <clock {r}{g};
  >digit carry {n}:carry; >count {n}a:gate; >count {n}b:gate; >count {n}c:gate
213 WC 3 | Word counter | Counts words round the drum and opens their gates
  <digit carry 3; <origin mark; <clear {r}{g}; <clock {r}{g}; <word carry {p}; >word gate {a}:gate;
  >word gate {b}:gate; >word gate {d}:gate; >word gate {e}:gate; >word carry {n}:carry
214 TD 2 | Timing distributor | Opens reading, writing and the half word; strikes the hour
  <count 1a; <count 2b; <count 3c; <tide clock; <word gate {w1}; <sector mark; <word gate {w3};
  >half word gate:gate; >read gate:gate; >write gate:gate; >hour strobe:strobe
215 DD 4 | Digit decoder | Gives eight of the twenty-four digit times their own line
  <clock {r}{g}; <count 1a; <count 1b; <count 1c; <count 2a; <count 2b; <count 2c; <count 3a; <count 3b;
  <count 3c; >digit time {d1}:digit; >digit time {d2}:digit; >digit time {d3}:digit; >digit time {d4}:digit;
  >digit time {d5}:digit; >digit time {d6}:digit; >digit time {d7}:digit; >digit time {d8}:digit
216 PF 4 | Pulse former | Makes one of the machine's common pulses at full strength
  <clock {r}{g}; <tide clock; <digit time {t1}; <strobe {r}{g}; <read gate; <clear {r}{g}; >{q} pulse:digit;
  >{q} check:strobe
217 RA 3 | Read amplifier | Reads four phases from one drum track
  <track signal {n}; <read gate; <clock {r}{g}; <strobe {r}{g}; <digit pulse; <clear {r}{g}; <digit time {t1};
  <digit time {t4}; >{c1} phase back:drum; >{c2} phase back:drum; >{c3} phase back:drum; >{c4} phase back:drum;
  >read check:strobe
218 WA 3 | Write amplifier | Writes four phases on one drum track
  <write clock; <write gate; <erase pulse; <{c1} phase write; <{c2} phase write; <{c3} phase write;
  <{c4} phase write; <digit time {t1}; <clear {r}{g}; <digit time {t4}; >track drive {n}:write;
  >write check:strobe
219 TS 2 | Track selector | Joins heads to amplifiers, word by word
  <track drive 1; <track drive 2; <track drive 3; <word gate {w1}; <word gate {w2}; <read gate; <write gate;
  <clock {r}{g}; <word gate {w3}; >track signal 1:drum; >track signal 2:drum; >track signal 3:drum
220 TM 3 | Term mixer | Brings the terms of one rack together on the common bus
  <clock {r}{g}; <{c1} term; <{c2} term; <{c3} term; <{c4} term; <complement {x}; <clear {r}{g};
  <strobe {r}{g}; <digit time {t1}; <digit time {t2}; <dash pulse; <digit time {t4}; <digit time {t5};
  >term bus:train
221 DR 2 | Digit receiver | Takes the common pulses into a rack and restores them
  <clock {r}{g}; <dash pulse; <clear {r}{g}; <digit pulse; <strobe {r}{g}; <digit time {t1}; <digit time {t4};
  >local digit {r}{n}:digit; >local dash {r}{n}:digit
222 KR 2 | Carry restorer | Gives tired carries their height and duration back
  <carry bus; <clock {r}{g}; <strobe {r}{g}; <digit time {t1}; <digit time {t2}; <local dash {l};
  <digit time {t4}; <digit time {t5}; >restored carry {r}:carry; >carry overflow {r}:gate
223 SG 2 | Sign gate | Decides whether a term is added or its complement
  <sign bus; <sum sign; <word gate {w1}; <clock {r}{g}; <clear {r}{g}; <digit time {t1}; <local dash {l};
  <digit time {t4}; <word gate {w3}; >sign gated {r}:gate; >complement {r}:gate
224 ML 1 | Mean level generator | Adds the height of mean level above datum, once an hour
  <clock {r}{g}; <digit pulse; <datum digits; <word gate {w1}; <digit time {t1}; <digit time {t2};
  <digit time {t3}; <clear {r}{g}; <digit time {t4}; <digit time {t5}; <word gate {w3}; >mean level:train
225 TA 3 | Table amplifier | Reads one track of the cosine table
  <table address; <read gate; <clock {r}{g}; <strobe {r}{g}; <digit pulse; <clear {r}{g}; <dash pulse;
  <digit time {t1}; <digit time {t4}; >table digits {n}:drum; >table check:strobe
226 AR 4 | Address register | Holds the phase whose cosine is wanted
  <phase bus; <address back; <clock {r}{g}; <clear {r}{g}; <strobe {r}{g}; <word gate {w1}; <digit time {t1};
  <digit time {t2}; <digit pulse; <digit time {t4}; <digit time {t5}; <word gate {w3}; >address:train;
  >quadrant bit:gate; >table address:train
227 CI 2 | Coincidence gate | Tells when the drum stands at the wanted address
  <address; <sector mark; <origin mark; <clock {r}{g}; <digit time {t1}; <digit time {t2}; <word gate {w1};
  <digit time {t4}; <digit time {t5}; <word gate {w3}; >coincidence:strobe; >address back:train
228 QG 1 | Quadrant gate | Picks the quarter of the circle
  <quadrant bit; <coincidence; <clock {r}{g}; <clear {r}{g}; <word gate {w1}; <digit time {t1};
  <digit time {t4}; <word gate {w3}; >quadrant one:gate; >quadrant two:gate
229 CM 3 | Complementer | Turns the table's digits for the other quarters
  <table digits 1; <table digits 2; <table digits 3; <quadrant one; <quadrant two; <clock {r}{g};
  <digit time {t1}; <digit time {t2}; <clear {r}{g}; <complement D; <complement E; <digit time {t4};
  <digit time {t5}; >complemented digits:train; >end carry:carry
230 CT 2 | Cosine staticiser | Holds half a cosine while the multiplier uses it
  <complemented digits; <coincidence; <clear {r}{g}; <clock {r}{g}; <strobe {r}{g}; <word gate {w1};
  <digit time {t1}; <digit time {t2}; <end carry; <interpolate carry; <digit time {t4}; <digit time {t5};
  <word gate {w3}; >cosine half {n}:train; >cosine hold {n}:gate
231 IN 3 | Interpolator | Reads between the lines of the cosine table
  <cosine half 1; <cosine half 2; <cosine hold 1; <cosine hold 2; <clock {r}{g}; <clear {r}{g};
  <digit time {t1}; <digit time {t2}; <digit time {t3}; <local digit {l}; <local dash {l}; <digit time {t4};
  <digit time {t5}; >cosine digits:train; >interpolate carry:carry
232 MD 3 | Multiplicand register | Holds the cosine through one multiplication
  <cosine digits; <clock {r}{g}; <clear {r}{g}; <strobe {r}{g}; <word gate {w1}; <word gate {w2};
  <digit time {t1}; <digit time {t2}; <multiplicand back; <load gate; <digit time {t4}; <digit time {t5};
  <word gate {w3}; >multiplicand:train; >multiplicand sign:gate
233 MR 4 | Multiplier stage | Adds the multiplicand where the amplitude has a digit
  <multiplicand; <amplitude bus; <partial {p}; <shift pulse; <clock {r}{g}; <clear {r}{g}; <strobe {r}{g};
  <digit time {t1}; <digit time {t2}; <local digit {l}; <multiply gate; <digit time {t4}; <digit time {t5};
  >partial {n}:train; >stage carry {n}:carry
234 PP 2 | Partial product adder | Joins what the four stages made
  <partial 4; <stage carry 1; <stage carry 2; <stage carry 3; <stage carry 4; <clock {r}{g}; <clear {r}{g};
  <local digit {l}; <digit time {t1}; <digit time {t2}; <digit time {t4}; <digit time {t5}; >partial sum:train;
  >partial back:train; >partial carry:carry
235 PR 3 | Product register | Holds the finished product
  <partial sum; <partial carry; <round-off; <clock {r}{g}; <clear {r}{g}; <strobe {r}{g}; <word gate {w1};
  <word gate {w2}; <digit time {t1}; <digit time {t4}; <word gate {w3}; >product:train; >product sign:gate
236 RO 2 | Round-off gate | Rounds the product and puts it on its bus
  <product; <product sign; <clock {r}{g}; <digit time {t1}; <digit time {t2}; <word gate {w1}; <local dash {l};
  <digit time {t4}; <digit time {t5}; <word gate {w3}; >round-off:carry; >product bus:train
237 MC 3 | Multiplier control | Counts a multiplication from loading to end
  <product sign; <multiplicand sign; <sequence gate; <clock {r}{g}; <word gate {w1}; <word gate {w2};
  <digit time {t1}; <digit time {t2}; <digit time {t4}; <digit time {t5}; <word gate {w3}; >multiply gate:gate;
  >load gate:gate; >multiply end:strobe
238 SH 2 | Shift pulse former | Moves the multiplicand one place
  <multiply gate; <clock {r}{g}; <strobe {r}{g}; <digit time {t1}; <digit time {t2}; <dash pulse;
  <multiplicand; <digit time {t4}; <digit time {t5}; >shift pulse:strobe; >multiplicand back:train
239 HR 3 | Height register | Holds the height of tide for one hour
  <sum high; <sum low digits; <sum ready; <height back; <clock {r}{g}; <clear {r}{g}; <strobe {r}{g};
  <digit time {t1}; <digit time {t2}; <word gate {w1}; <digit time {t4}; <digit time {t5}; <word gate {w3};
  >height:train; >height digits:train
240 DV 3 | Decimal converter | Turns the height into tenths of a foot by counting it down
  <height; <clock {r}{g}; <clear {r}{g}; <hour pulse; <decade carry 4; <digit time {t1}; <digit time {t2};
  <word gate {w1}; <digit time {t4}; <digit time {t5}; <word gate {w3}; >decimal pulse:strobe;
  >height back:train; >convert gate:gate
241 DE 5 | Decade counter | Counts one decimal digit of the height
  <decimal pulse; <decade carry {p}; <convert gate; <clear {r}{g}; <clock {r}{g}; <print reset;
  >decade carry {n}:carry; >decade {n} high:gate; >decade {n} low:gate
242 TP 2 | Turning point detector | Finds high and low water in the run of heights
  <height digits; <sum sign; <hour pulse; <clock {r}{g}; <clear {r}{g}; <word gate {w1}; <digit time {t1};
  <digit time {t4}; <word gate {w3}; >high water:gate; >low water:gate; >print call:strobe
243 HC 2 | Hour counter | Counts hours, or days, of the table being made
  <{i}; <clock {r}{g}; <clear {r}{g}; <strobe {r}{g}; <digit time {t1}; <digit time {t4}; >{q} pulse:strobe;
  >{q} tens:gate; >{q} units:gate
244 PD 3 | Printer driver | Fires the hammers of two columns of the page printer
  <decade {a} high; <decade {a} low; <decade {b} high; <decade {b} low; <high water; <low water; <print call;
  <hour tens; <hour units; <day tens; <day units; <clear {r}{g}; >print reset:strobe; >printed {n}:printer
245 KA 2 | Constants amplifier | Reads amplitude and speed of three constituents for one port
  <constants track {n}; <read gate; <clock {r}{g}; <strobe {r}{g}; <digit pulse; <clear {r}{g};
  <word gate {w1}; <word gate {w2}; <word gate {w3}; >{c1} constants:drum; >{c2} constants:drum;
  >{c3} constants:drum; >{q} digits:drum
246 CX 1 | Constants selector | Finds the constants of the port on their tracks
  <word gate {w1}; <word gate {w2}; <read gate; <sequence gate; <clock {r}{g}; >constants track 1:drum;
  >constants track 2:drum; >constants track 3:drum; >constants track 4:drum
247 SQ 2 | Programme sequencer | Runs the table from the first hour to the last
  <printed 1; <printed 2; <hour pulse; <day pulse; <sum overflow; <lock lost; <clock {r}{g}; <start; <alarm;
  <print call; >run gate:gate; >sequence gate:gate
248 ST 1 | Start and alarm | Starts the machine, and stops it when a check pulse is missing
  <read check; <write check; <table check; <digit check; <dash check; <erase check; <carry overflow D;
  <carry overflow E; <multiply end; >start:gate; >alarm:gate
"""
