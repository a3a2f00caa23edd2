"""What each construct of the language does in one scan: compiled and walked alike (tests/st/running.py)."""

import pytest

from tests.st.running import scans

PROGRAMS = {
    "simple": ("PROGRAM p VAR x : INT; y : REAL; END_VAR x := 3; y := x; END_PROGRAM", {"x": 3, "y": 3.0}),
    "precedence": (
        "VAR a : INT; b : BOOL; r : REAL; END_VAR a := -2 ** 2; b := 1 < 2 = TRUE; r := 2.0 ** 0.5;",
        {"a": 4, "b": True},
    ),
    "example": (
        """VAR A:INT:=1;B:INT:=2;C:INT:=3;D:INT:=4;
x,y:INT;
END_VAR
x := A+B-C*ABS(D);
y := (A+B-C)*ABS(D);""",
        {"x": -9, "y": 0},
    ),
    "funcs": (
        """VAR w : WORD;
b : BYTE;
i : INT;
d : DINT;
r : REAL;
t : TIME;
s : STRING;
END_VAR
w := SHL(16#0001, 3);
b := ROR(BYTE#16#81, 1);
i := REAL_TO_INT(2.5);
d := TRUNC(-1.6);
r := SQRT(16.0);
t := T#1s * 3;
s := CONCAT('a', 'b', INT_TO_STRING(5));""",
        {"w": 8, "b": 192, "i": 2, "d": -1, "r": 4.0, "t": 3000000000, "s": "ab5"},
    ),
    "typed": (
        """VAR w : DWORD;
i : INT;
t : TIME;
l : LREAL;
b : BOOL;
END_VAR
w := SHL_DWORD(16#1, 4);
i := LIMIT_INT(1, 7, 5);
t := SEL_TIME(TRUE, T#1s, T#2s);
l := MAX_LREAL(1.0, 2.5);
b := GT_INT(3, 2);
i := ADD_INT(1,2);
i := MUX_INT(1, 5, 6, 7);""",
        {"w": 16, "i": 6, "t": 2000000000, "l": 2.5, "b": True},
    ),
    "operators as functions": (
        """VAR a,b,c : BOOL;
n : INT;
END_VAR
a := AND(TRUE, NOT FALSE, b OR TRUE);
b := GT(3,2,1);
c := OR(FALSE, XOR(a,b));
n := ADD(1,2,3) + MUL(2,3) - DIV(7,2) + MOD(7,4) + SUB(5,3);
n := MOVE(n);""",
        {"a": True, "b": True, "c": False, "n": 14},
    ),
    "EN and ENO": (
        """VAR n, m : INT;
ok : BOOL;
t : TON;
END_VAR
n := ADD(EN := FALSE, IN1 := 2, IN2 := 3, ENO => ok);
m := ADD(EN := TRUE, IN1 := 2, IN2 := 3, ENO => ok);
t(EN := FALSE, IN := TRUE, PT := T#0s);""",
        {"n": 0, "m": 5, "ok": True},
    ),
    "enumeration": (
        """TYPE St : (idle, busy := 5, done);
END_TYPE PROGRAM p VAR s : St := busy;
n : INT;
END_VAR
CASE s OF idle: n := 1;
busy: n := 2;
s := done;
St#done: n := 3;
END_CASE;
IF s = done THEN n := n + 10;
END_IF;
END_PROGRAM""",
        {"n": 12, "s": 6},
    ),
    "enumeration without a name": (
        """PROGRAM p VAR s : (one, two);
n : INT;
END_VAR
IF s = one THEN s := two;
ELSE n := n+1;
END_IF;
END_PROGRAM""",
        {"s": 1},
    ),
    "subrange": ("TYPE P : INT (0..100); END_TYPE PROGRAM p VAR x : P := 5; END_VAR x := x + 1; END_PROGRAM", {"x": 6}),
    "nested": (
        """TYPE A : STRUCT v : INT := 7;
w : ARRAY[1..2] OF INT := [3, 4];
END_STRUCT;
B : STRUCT a : A := (v := 9);
n : ARRAY[0..1] OF A;
END_STRUCT;
END_TYPE PROGRAM p VAR b : B;
c : A;
x, y, z : INT;
i : INT := 1;
END_VAR
x := b.a.v;
y := b.n[i].w[2];
c := b.n[1];
b.n[0] := b.a;
z := b.n[0].v + c.v;
b.n[i].w[i] := 77;
END_PROGRAM""",
        {"x": 9, "y": 4, "z": 16},
    ),
    "VAR_IN_OUT": (
        """FUNCTION_BLOCK Inc VAR_IN_OUT v : INT;
arr : ARRAY[1..3] OF INT;
END_VAR
v := v + 1;
arr[v] := v;
END_FUNCTION_BLOCK PROGRAM p VAR i : Inc;
q : INT;
t : ARRAY[1..3] OF INT;
END_VAR
i(v := q, arr := t);
i(v := t[3], arr := t);
END_PROGRAM""",
        {"q": 1, "t[1]": 1, "t[3]": 1},
    ),
    "blocks in blocks": (
        """FUNCTION_BLOCK In VAR_INPUT a : INT;
END_VAR
VAR_OUTPUT o : INT;
END_VAR
VAR acc : INT;
END_VAR
acc := acc + a;
o := acc;
END_FUNCTION_BLOCK FUNCTION_BLOCK Out VAR x, y : In;
END_VAR
VAR_OUTPUT s : INT;
END_VAR
x(a := 1);
y(a := 2);
s := x.o + y.o;
END_FUNCTION_BLOCK PROGRAM p VAR o : Out;
r : INT;
END_VAR
o();
o(s => r);
END_PROGRAM""",
        {"r": 6},
    ),
    "inputs set by assignment": (
        "VAR t : CTU; c : INT; f : BOOL; END_VAR t.PV := 3; f := NOT f; t.CU := f; t(); c := t.CV;",
        {"c": 1},
    ),
    "while": (
        """VAR i, n : INT;
END_VAR
WHILE i < 10 DO i := i + 1;
IF i = 5 THEN CONTINUE;
END_IF;
IF i = 8 THEN EXIT;
END_IF;
n := n + i;
END_WHILE;""",
        {"i": 8, "n": 23},
    ),
    "repeat": (
        """VAR i, n : INT;
END_VAR
REPEAT i := i + 1;
IF i = 2 THEN CONTINUE;
END_IF;
n := n + i;
UNTIL i >= 4 END_REPEAT;""",
        {"i": 4, "n": 8},
    ),
    "FOR downward and to the end of a type": (
        """VAR i, n : INT;
b : USINT;
END_VAR
FOR i := 5 TO 1 BY -2 DO n := n * 10 + i;
END_FOR;
FOR b := 250 TO 255 DO n := n + 1;
END_FOR;""",
        {"n": 537},
    ),
    "bit access": (
        """VAR w : WORD;
b, c : BOOL;
y : BYTE;
END_VAR
w.0 := TRUE;
w.%X15 := TRUE;
b := w.0;
c := w.1;
y := w.%B1;
""",
        {"w": 32769, "b": True, "c": False, "y": 128},
    ),
    "dates": (
        """VAR d : DATE := D#2024-02-28;
t : TOD;
x : DT;
s : TIME;
e : DATE;
END_VAR
x := CONCAT_DATE_TOD(d, TOD#12:00:00);
x := x + T#13h;
e := DT_TO_DATE(x);
t := DT_TO_TOD(x);
s := e - d;""",
        {"s": 86400000000000},
    ),
    "texts": (
        """VAR s, u : STRING[10] := 'hello';
n : INT;
b : BOOL;
END_VAR
n := FIND(s, 'lo');
u := REPLACE(s, 'J', 1, 1);
b := u > s;
s := LEFT(IN := s, L := 2);""",
        {"n": 4, "u": "Jello", "s": "he"},
    ),
    "globals in blocks": (
        """VAR_GLOBAL g : INT := 4;
END_VAR
FUNCTION_BLOCK F VAR_EXTERNAL g : INT;
END_VAR
g := g + 1;
END_FUNCTION_BLOCK PROGRAM p VAR f : F;
n : INT;
END_VAR
f();
f();
n := g;
END_PROGRAM""",
        {"n": 6},
    ),
    "direct addresses": (
        """PROGRAM p VAR x AT %QX0.1 : BOOL;
n AT %MW4 : INT;
END_VAR
x := TRUE;
%QX0.2 := %QX0.1;
n := n + 1;
END_PROGRAM""",
        {"x": True, "%QX0.2": True, "n": 1},
    ),
    "constants": (
        """PROGRAM p VAR CONSTANT N : INT := 3;
T : ARRAY[1..3] OF INT := [5, 6, 7];
END_VAR
VAR a : ARRAY[1..N] OF INT;
i, s : INT;
END_VAR
FOR i := 1 TO N DO s := s + T[i];
a[i] := T[i];
END_FOR;
END_PROGRAM""",
        {"s": 18, "a[2]": 6},
    ),
    "functions": (
        """FUNCTION fact : DINT VAR_INPUT n : INT;
END_VAR
VAR i : INT;
END_VAR
fact := 1;
FOR i := 2 TO n DO fact := fact * i;
END_FOR;
END_FUNCTION FUNCTION twice : DINT VAR_INPUT a : DINT;
END_VAR
twice := 2 * a;
END_FUNCTION PROGRAM p VAR x : DINT;
END_VAR
x := twice(fact(5)) + fact(n := 3);
END_PROGRAM""",
        {"x": 246},
    ),
    "RETURN from a program": (
        """PROGRAM p VAR n : INT;
a : ARRAY[0..1] OF INT;
t : TON;
END_VAR
n := 1;
a[1] := 3;
t(IN := TRUE, PT := T#1s);
IF n = 1 THEN RETURN;
END_IF;
n := 2;
END_PROGRAM""",
        {"n": 1, "a[1]": 3},
    ),
    "R_EDGE": (
        """FUNCTION_BLOCK E VAR_INPUT c : BOOL R_EDGE;
END_VAR
VAR_OUTPUT n : INT;
END_VAR
IF c THEN n := n + 1;
END_IF;
END_FUNCTION_BLOCK PROGRAM p VAR e : E;
END_VAR
e(c := TRUE);
e(c := TRUE);
e(c := FALSE);
e(c := TRUE);
END_PROGRAM""",
        {"e.n": 2},
    ),
    "VAR_TEMP": (
        """FUNCTION_BLOCK E VAR_TEMP q : INT := 5;
END_VAR
VAR_OUTPUT n : INT;
END_VAR
q := q + 1;
n := n + q;
END_FUNCTION_BLOCK PROGRAM p VAR e : E;
END_VAR
VAR_TEMP z : INT;
END_VAR
z := z + 1;
e();
e();
END_PROGRAM""",
        {"e.n": 12},
    ),
    "ctu": (
        """VAR c : CTUD;
x : INT;
END_VAR
c(CU := TRUE, CD := FALSE, R := FALSE, LD := FALSE, PV := 5, CV => x);""",
        {"x": 1},
    ),
    "ctudint": ("VAR c : CTU_DINT; x : DINT; END_VAR c(CU := TRUE, PV := 100000, CV => x);", {"x": 1}),
    "timemath": (
        """VAR t : TIME;
b : BOOL;
n : DINT;
END_VAR
t := T#10s / 4 + T#1ms;
t := t * 2.0;
b := t >= T#5s;
n := TIME_TO_DINT(t);""",
        {"b": True, "n": 5002},
    ),
    "unary": (
        """VAR x : INT;
b : BOOL;
w : WORD;
END_VAR
x := -(3 + 4) * +2;
b := NOT (x > 0) AND NOT FALSE;
w := NOT WORD#16#00FF;""",
        {"x": -14, "b": True, "w": 65280},
    ),
    "wrap": (
        """VAR s : SINT := 127;
u : USINT;
i : INT := 32767;
END_VAR
s := s + 1;
u := u - 1;
i := i * 2;""",
        {"s": -128, "u": 255, "i": -2},
    ),
    "cases": (
        """VAR n : INT := 7;
r : INT;
END_VAR
CASE n OF 1, 2: r := 1;
3..5, 9: r := 2;
-5..0: r := 3;
6..8: r := 4;
END_CASE;""",
        {"r": 4},
    ),
    "array of timers": (
        """VAR t : ARRAY[1..3] OF TON;
i : INT;
n : INT;
END_VAR
FOR i := 1 TO 3 DO t[i](IN := TRUE, PT := T#0s);
IF t[i].Q THEN n := n + 1;
END_IF;
END_FOR;""",
        {"n": 3},
    ),
    "conversions": (
        """VAR a : INT;
r : REAL;
b : BOOL;
w : WORD;
END_VAR
a := STRING_TO_INT('42');
r := STRING_TO_REAL('1.5');
b := INT_TO_BOOL(3);
w := INT_TO_WORD(-1);
a := WORD_TO_INT(16#FFFE) + BOOL_TO_INT(TRUE);""",
        {"a": -1, "r": 1.5, "b": True, "w": 65535},
    ),
    "bcd": (
        """VAR b : BYTE;
u : UINT;
END_VAR
b := USINT_TO_BCD_BYTE(25);
u := WORD_BCD_TO_UINT(2#0011_0110_1001);""",
        {"b": 37, "u": 369},
    ),
    "instance named like its type": (
        """FUNCTION_BLOCK Motor VAR_INPUT On : BOOL;
END_VAR
VAR_OUTPUT Run : BOOL;
END_VAR
Run := On;
END_FUNCTION_BLOCK PROGRAM p VAR motor : Motor;
r : BOOL;
END_VAR
motor(TRUE);
r := motor.Run;
END_PROGRAM""",
        {"r": True},
    ),
    "positional call of a block": (
        "VAR t : TON; e : TIME; q : BOOL; END_VAR t(TRUE, T#1s); q := t.Q; e := t.ET;",
        {"q": False, "e": 0},
    ),
    "structures in and out of a block": (
        """TYPE Axis : STRUCT pos : REAL;
ok : BOOL;
END_STRUCT;
END_TYPE FUNCTION_BLOCK F VAR_INPUT a : Axis;
END_VAR
VAR_OUTPUT b : Axis;
END_VAR
b := a;
b.pos := b.pos + 1.0;
END_FUNCTION_BLOCK PROGRAM p VAR f : F;
x : Axis := (pos := 2.0, ok := TRUE);
y : Axis;
END_VAR
f(a := x, b => y);
END_PROGRAM""",
        {"y.pos": 3.0, "y.ok": True},
    ),
    "array given to a function": (
        """FUNCTION total : INT VAR_INPUT a : ARRAY[0..2] OF INT;
END_VAR
VAR i : INT;
END_VAR
FOR i := 0 TO 2 DO total := total + a[i];
END_FOR;
END_FUNCTION PROGRAM p VAR a : ARRAY[0..2] OF INT := [1, 2, 3];
s : INT;
END_VAR
s := total(a);
s := s + total(a := a);
END_PROGRAM""",
        {"s": 12},
    ),
    "pragma": (
        """{attribute} PROGRAM p // hi
 VAR x : INT;
(* äöü *) END_VAR
/* c */ x := 1;
{ pragma } END_PROGRAM""",
        {"x": 1},
    ),
    "lits": (
        """VAR a : DINT;
b : LREAL;
t : TIME;
l : LTIME;
w : DWORD;
c : BOOL;
END_VAR
a := 1_000_000 + 2#1010 + 8#17 + 16#FF;
b := 1.5E3 - REAL#2.5;
t := t#1d2h3m4s5.6ms;
l := LTIME#1us500ns;
w := DWORD#16#DEAD_BEEF;
c := BOOL#1;""",
        {"a": 1000280, "c": True, "l": 1500, "w": 3735928559},
    ),
    "selmixed": (
        """VAR r : REAL;
n : INT := 5;
END_VAR
r := SEL(n > 3, 1.0, 2.0);
r := MAX(r, n);
r := LIMIT(0, r, 10);""",
        {"r": 5.0},
    ),
    "mod": ("VAR a,b,c : INT; END_VAR a := -7 MOD 3; b := 7 MOD -3; c := -7 / 2;", {"a": -1, "b": 1, "c": -3}),
    "emptyfor": (
        """VAR i, n : INT;
k : INT := 3;
END_VAR
FOR i := 5 TO k DO n := 1;
END_FOR;
FOR i := 1 TO k BY k - 1 DO n := n + i;
END_FOR;""",
        {"n": 4},
    ),
    "retain": (
        """PROGRAM p VAR RETAIN n : INT := 2;
END_VAR
VAR NON_RETAIN m : INT;
END_VAR
n := n + 1;
END_PROGRAM""",
        {"n": 3},
    ),
    "outputcall": (
        """FUNCTION f : INT VAR_INPUT a : INT;
END_VAR
VAR_OUTPUT b : INT;
END_VAR
VAR_IN_OUT c : INT;
END_VAR
f := a;
b := a + 1;
c := c + a;
END_FUNCTION PROGRAM p VAR x,y,z : INT;
END_VAR
x := f(a := 2, b => y, c := z);
f(3, z);
END_PROGRAM""",
        {"x": 2, "y": 3, "z": 5},
    ),
    "END_FUNCTION_BLOCK left out": (
        """FUNCTION_BLOCK F VAR_INPUT a : INT;
END_VAR
VAR_OUTPUT b : INT;
END_VAR
b := a;
PROGRAM p VAR f : F;
n : INT;
END_VAR
f(a := 3);
n := f.b;""",
        {"n": 3},
    ),
    "emptystmt": ("VAR a : BOOL; END_VAR ;; IF a THEN ELSE ; END_IF; a := TRUE;;", {"a": True}),
    "call in an ELSIF": (
        """FUNCTION g : BOOL VAR_INPUT a : INT;
END_VAR
g := a > 2;
END_FUNCTION PROGRAM p VAR n : INT := 3;
r : INT;
END_VAR
IF n = 1 THEN r := 1;
ELSIF g(n) THEN r := 2;
ELSE r := 3;
END_IF;
END_PROGRAM""",
        {"r": 2},
    ),
    "widening": (
        """VAR x : DINT;
y : UDINT;
z : LINT;
END_VAR
x := 5;
y := UINT#3;
z := x + y;
x := DWORD_TO_DINT(16#10);""",
        {"z": 8, "x": 16},
    ),
    "lreal": ("VAR a : LREAL := 0.1; b : REAL := 0.1; c : LREAL; d : BOOL; END_VAR c := b; d := a = c;", {"d": False}),
    "an opening of a comment in a comment": ("(* a (* b *) VAR x : INT; END_VAR x := 1;", {"x": 1}),
    "comments in comments": ("(* a (* b *) c *) VAR x : INT; END_VAR x := 1; (* d *)", {"x": 1}),
    "VAR_GLOBAL in a program": (
        """PROGRAM p VAR_GLOBAL g : INT := 3;
END_VAR
VAR x : INT;
END_VAR
x := g;
g := 4;
END_PROGRAM FUNCTION_BLOCK f VAR_EXTERNAL g : INT;
END_VAR
g := 1;
END_FUNCTION_BLOCK""",
        {"x": 3, "g": 4},
    ),
    "a number beyond INT": ("VAR d : DINT; i : INT := 3; END_VAR d := i * 100000;", {"d": 300000}),
    "EN of the user's own": (
        """FUNCTION_BLOCK f VAR_INPUT EN : BOOL;
a : INT;
END_VAR
VAR_OUTPUT ENO : BOOL;
o : INT;
END_VAR
ENO := EN;
IF EN THEN o := a;
END_IF;
END_FUNCTION_BLOCK PROGRAM p VAR x : f;
q : BOOL;
END_VAR
x(EN := TRUE, a := 3, ENO => q);
END_PROGRAM""",
        {"x.o": 3, "q": True},
    ),
    "Type.name": (
        """TYPE C : (red, green);
END_TYPE PROGRAM p VAR c : C;
n : INT;
END_VAR
c := C.green;
IF c = green THEN n := 1;
END_IF;
END_PROGRAM""",
        {"n": 1},
    ),
    "array of an enumeration": (
        """TYPE E : (a, b);
END_TYPE PROGRAM p VAR r : ARRAY[0..1] OF E := [b, a];
n : INT;
END_VAR
IF r[0] = b THEN n := 5;
END_IF;
END_PROGRAM""",
        {"n": 5},
    ),
    "initial values of arrays": (
        "VAR a : ARRAY[1..3] OF INT := 5; b : ARRAY[1..4] OF INT := [2(7), 2()]; END_VAR",
        {"a[1]": 5, "b[2]": 7, "b[3]": 0},
    ),
    "BOOL compared with 0": (
        """VAR b : BOOL;
n : INT;
END_VAR
IF b = 0 THEN n := 1;
END_IF;
WHILE n < 5 DO n := n + 1;
END_WHILE""",
        {"n": 5},
    ),
    "function without a result": (
        """FUNCTION f VAR_INPUT a : INT;
END_VAR
VAR_OUTPUT b : INT;
END_VAR
b := a;
END_FUNCTION PROGRAM p VAR x : INT;
END_VAR
f(a := 4, b => x);
END_PROGRAM""",
        {"x": 4},
    ),
    "RETURN out of a loop": (
        """FUNCTION_BLOCK f VAR_INPUT n : INT;
END_VAR
VAR_OUTPUT s : DINT;
END_VAR
VAR i : INT;
END_VAR
s := 0;
FOR i := 1 TO n DO s := s + i;
IF s > 100 THEN RETURN;
END_IF;
END_FOR;
END_FUNCTION_BLOCK PROGRAM p VAR x : f;
END_VAR
x(n := 50);
END_PROGRAM""",
        {"x.s": 105},
    ),
    "a variable of an instance": (
        """FUNCTION_BLOCK f VAR cnt : INT;
END_VAR
cnt := cnt + 1;
END_FUNCTION_BLOCK PROGRAM p VAR x : f;
n : INT;
END_VAR
x();
n := x.cnt;
END_PROGRAM""",
        {"n": 1},
    ),
    "instance as VAR_IN_OUT": (
        """FUNCTION_BLOCK f VAR_IN_OUT t : TON;
END_VAR
VAR_OUTPUT q : BOOL;
END_VAR
t(IN := TRUE, PT := T#0s);
q := t.Q;
END_FUNCTION_BLOCK PROGRAM p VAR x : f;
t : TON;
e : TIME;
END_VAR
x(t := t);
e := t.PT;
END_PROGRAM""",
        {"x.q": True, "t.Q": True},
    ),
    "function that gives a structure": (
        """TYPE S : STRUCT a : INT;
END_STRUCT;
END_TYPE FUNCTION f : S VAR_INPUT a : INT;
END_VAR
f.a := a;
END_FUNCTION PROGRAM p VAR s : S;
END_VAR
s := f(3);
END_PROGRAM""",
        {"s.a": 3},
    ),
    "LTIME": ("VAR t : LTIME; s : TIME; END_VAR t := LTIME#5us; s := t; t := s * 2;", {"t": 10000}),
    "a variable hides a global": (
        """VAR_GLOBAL x : INT := 1;
END_VAR
PROGRAM p VAR x : INT := 5;
y : INT;
END_VAR
y := x;
END_PROGRAM""",
        {"y": 5},
    ),
    "bistables": (
        "VAR s : SR; r : RS; END_VAR s(S1 := TRUE, R := TRUE); r(S := TRUE, R1 := TRUE);",
        {"s.Q1": True, "r.Q1": False},
    ),
    "array of texts": (
        """VAR a : ARRAY[0..1] OF STRING[10] := ['x', 'y'];
b : BOOL;
i : INT;
END_VAR
i := 1;
b := a[i] = 'y';
a[0] := CONCAT(a[0], a[i]);""",
        {"b": True, "a[0]": "xy"},
    ),
    "selection of times": (
        "VAR t : TIME; END_VAR t := MAX(T#1s, T#2s); t := LIMIT(T#0s, t, T#1500ms);",
        {"t": 1500000000},
    ),
    "two instances of a program": (
        """PROGRAM a VAR_EXTERNAL g : INT;
END_VAR
g := g + 1;
END_PROGRAM CONFIGURATION c VAR_GLOBAL g : INT;
END_VAR
RESOURCE r ON x TASK t(INTERVAL := T#20ms, PRIORITY := 0);
PROGRAM i WITH t : a;
PROGRAM j WITH t : a;
END_RESOURCE END_CONFIGURATION""",
        {"g": 2},
    ),
    "parameters of a program instance": (
        """PROGRAM a VAR_INPUT x : INT;
END_VAR
VAR_OUTPUT y : INT;
END_VAR
y := x * 2;
END_PROGRAM CONFIGURATION c VAR_GLOBAL g : INT := 4;
h : INT;
END_VAR
RESOURCE r ON x TASK t(INTERVAL := T#20ms, PRIORITY := 0);
PROGRAM i WITH t : a(x := g, y => h);
END_RESOURCE END_CONFIGURATION""",
        {"h": 8},
    ),
    "CASE of a bit string": ("VAR b : BYTE := 3; n : INT; END_VAR CASE b OF 16#03: n := 1; END_CASE;", {"n": 1}),
    "empty CASE": ("VAR n : INT; END_VAR CASE n OF END_CASE; CASE n OF 0: ELSE n := 1; END_CASE;", {"n": 0}),
    "powers": (
        """VAR x : REAL := 2.0;
y : LREAL;
END_VAR
y := x ** 3.0 + EXPT(x, 2) - SQRT(x * x);
y := -y;""",
        {"y": -10.0},
    ),
}


@pytest.mark.parametrize("name", PROGRAMS)
def test_one_scan(name):
    """The values after one scan are those that the standard's text gives."""
    text, wanted = PROGRAMS[name]
    values = scans(text)[0]
    assert {key: values[key] for key in wanted} == wanted
