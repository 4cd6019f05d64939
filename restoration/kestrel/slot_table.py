"""Racks and slots of the tide computer as one compact table.

A rack line: letter, name. A slot line: drawing number, then the words its terminals need.
Slots are numbered from the top in the order given.
"""

SLOT_TABLE = """
A Clock and timing
  201
  203
  209
  210
  211
  212 n=1 p=3
  212 n=2 p=1
  212 n=3 p=2
  213 n=1 p=2 a=1 b=2 d=3 e=4
  213 n=2 p=1 a=5 b=6 d=7 e=8
  214
  202 n=1
B Drum channels and common pulses
  202 n=1
  215 n=1
  215 n=2
  215 n=3
  216 q=digit
  216 q=dash
  216 q=erase
  217 n=1 c1=M2 c2=S2 c3=N2 c4=K2
  217 n=2 c1=K1 c2=O1 c3=P1 c4=Q1
  217 n=3 c1=L2 c2=M4 c3=MS4
  218 n=1 c1=M2 c2=S2 c3=N2 c4=K2
  218 n=2 c1=K1 c2=O1 c3=P1 c4=Q1
  218 n=3 c1=L2 c2=M4 c3=MS4
  219
C Constituents and sum
  202 n=1
  202 n=2
  204 c=M2 x=D
  204 c=S2 x=D
  204 c=N2 x=D
  206 g=2
  207 g=2
  208 g=2
  220 g=2 c1=M2 c2=S2 c3=N2 x=D
  205 g=2 c=M2 l=D1
  205 g=2 c=S2 l=D1
  205 g=2 c=N2 l=D1
D Constituents, diurnal
  202 n=1
  221 n=1
  204 c=K1 x=D
  204 c=O1 x=D
  204 c=P1 x=D
  204 c=Q1 x=D
  205 c=K1 l=D1
  205 c=O1 l=D1
  205 c=P1 l=D2
  205 c=Q1 l=D2
  220 c1=K1 c2=O1 c3=P1 c4=Q1 x=D
  222 l=D1
  221 n=2
  223 l=D2
E Constituents, small and shallow water
  202 n=1
  221 n=1
  204 c=K2 x=E
  204 c=L2 x=E
  204 c=M4 x=E
  204 c=MS4 x=E
  205 c=K2 l=E1
  205 c=L2 l=E1
  205 c=M4 l=E1
  205 c=MS4 l=E1
  220 c1=K2 c2=L2 c3=M4 c4=MS4 x=E
  222 l=E1
  224
  223 l=E1
F Cosine table
  202 n=1
  225 n=1
  225 n=2
  225 n=3
  226
  227
  228
  229
  230 n=1
  230 n=2
  231 l=F1
  221 n=1
G Multiplier
  202 n=1
  232
  233 n=1 p=back l=G1
  233 n=2 p=1 l=G1
  233 n=3 p=2 l=G1
  233 n=4 p=3 l=G1
  234 l=G1
  235
  236 l=G1
  237
  238
  221 n=1
H Height and output
  202 n=1
  239
  240
  241 n=1
  241 n=2 p=1
  241 n=3 p=2
  241 n=4 p=3
  242
  243 q=hour i=hour~strobe
  243 q=day i=hour~pulse
  244 n=1 a=1 b=2
  244 n=2 a=3 b=4
J Port constants and sequence
  202 n=1
  245 n=1 c1=M2 c2=S2 c3=N2
  245 n=2 c1=K1 c2=O1 c3=P1
  245 n=3 c1=Q1 c2=K2 c3=L2
  245 n=4 c1=M4 c2=MS4 q=datum
  246
  247
  248
"""
