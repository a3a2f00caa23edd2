"""Reading configurations of Structured Text: resources, tasks, program instances, addresses and values for them.

Rule: a mistake costs one row of a configuration.
"""

from dataclasses import dataclass, field

from simplant.errors import Place
from simplant.logic.st.cursor import ENDS
from simplant.logic.st.declared import Configuration, ProgramInstance, Setting, Task, Variable
from simplant.logic.st.parse_declarations import SECTIONS, Declarations
from simplant.logic.st.tokens import Token
from simplant.logic.st.tree import Argument, Expression


@dataclass(slots=True)
class _Gathered:
    """What a configuration gathers from its resources."""

    variables: list[Variable] = field(default_factory=list)
    tasks: list[Task] = field(default_factory=list)
    programs: list[ProgramInstance] = field(default_factory=list)
    settings: list[Setting] = field(default_factory=list)
    resource: str = ""


class Configurations(Declarations):
    """Recursive descent over configurations."""

    def configuration(self) -> Configuration:
        """Read a CONFIGURATION after its first word."""
        name = self.want_name("the name of the configuration")
        return self.rows_of_configuration(name.text, name, bare=False)

    def rows_of_configuration(self, name: str, token: Token, *, bare: bool) -> Configuration:
        """Read what stands in a CONFIGURATION; `bare`: there is no word around it."""
        gathered, self.accesses = _Gathered(), []
        while self.token.kind != "end" and not self.at("END_CONFIGURATION") and not self._ends(bare=bare):
            start = self.position
            self.guarded(lambda: self._part(gathered), "END_CONFIGURATION", "RESOURCE", "END_RESOURCE", "PROGRAM")
            if self.position == start:
                self.step()
        if not self.taken("END_CONFIGURATION") and not bare:
            self.report.loose(self.place(), f"the CONFIGURATION {name} is not closed", "write END_CONFIGURATION")
        self.taken(";")
        parts = (gathered.variables, gathered.tasks, gathered.programs, gathered.settings, self.accesses)
        return Configuration(self.place(token), name, *map(tuple, parts))  # type: ignore[arg-type]

    def _ends(self, *, bare: bool) -> bool:
        """Say whether something else begins: no row of a configuration."""
        if self.at("PROGRAM"):
            return self.ahead(2).text != ":" and self.ahead(2).word != "WITH" and self.ahead().word != "RETAIN"
        rows = ("RESOURCE", "END_RESOURCE", "TASK", "VAR_GLOBAL", "VAR_CONFIG", "VAR_ACCESS", ";")
        return self.at("FUNCTION", "FUNCTION_BLOCK", "TYPE", "CONFIGURATION") or (bare and not self.at(*rows))

    def _part(self, gathered: _Gathered) -> None:
        """Read one thing of a configuration or resource."""
        if self.taken("VAR_CONFIG"):
            gathered.settings += self.settings()
        elif self.at(*SECTIONS):
            section = self.section()
            gathered.variables += [v for v in section if v.section.word == "VAR_GLOBAL"]
        elif self.taken("RESOURCE"):
            gathered.resource = self.want_name("the name of the resource").text
            self._processor(gathered.resource)
        elif self.taken("TASK"):
            gathered.tasks.append(self.task(gathered.resource))
        elif self.taken("PROGRAM"):
            gathered.programs.append(self.program_instance(gathered.resource))
        elif self.taken("END_RESOURCE"):
            gathered.resource = ""
        elif not self.taken(";"):
            self.unexpected("VAR_GLOBAL, RESOURCE, TASK, PROGRAM or END_CONFIGURATION")

    def settings(self) -> list[Setting]:
        """Read the rows of a VAR_CONFIG after its first word."""
        found: list[Setting] = []
        while self.token.kind != "end" and not self.at("END_VAR", *ENDS):
            row = self.guarded(self._setting, "END_VAR", *ENDS)
            found += [row] if row is not None else []
        self.want("END_VAR")
        self.taken(";")
        return found

    def _setting(self) -> Setting:
        """Read `resource.program.variable AT %IX0.0 : TYPE := value;`."""
        first = self.want_name("the name of a program instance or a resource")
        path = [first.text]
        while self.taken("."):
            path.append(self.want_name("the name of a variable").text)
        address = self.address()
        self.want(":", "and the type of the variable")
        spec = self.type_spec()
        initial = self.initial() if self.taken(":=") else None
        self.end_of_declaration()
        return Setting(self.place(first), tuple(path), address, spec, initial)

    def _processor(self, resource: str) -> None:
        """Read ON and the type of a resource."""
        if self.at("TASK", "PROGRAM", "VAR_GLOBAL"):
            what = f"what the RESOURCE {resource} runs on is missing"
            self.report.loose(self.place(self.last), what, f"write RESOURCE {resource} ON PLC", len(resource))
            return
        self.want("ON")
        self.want_name("the type of the resource")

    def task(self, resource: str = "") -> Task:
        """Read a TASK after its first word."""
        name = self.want_name("the name of the task")
        settings: list[tuple[Place, str, Expression]] = []
        self.want("(")
        while not self.at(")"):
            word = self.want_name("SINGLE, INTERVAL or PRIORITY")
            if not self.first_value_mark():
                self.want(":=")
            settings.append((self.place(word), word.word, self.expression()))
            if self.at(";") and self.ahead().kind == "name" and self.ahead(2).text in (":=", "="):
                self.say("';' between settings", "write ',' instead")
                self.step()
            elif not self.taken(","):
                break
        self.want(")", "or ','")
        self._end()
        return Task(self.place(name), name.text, tuple(settings), resource)

    def program_instance(self, resource: str = "") -> ProgramInstance:
        """Read `PROGRAM name WITH task : type (...);` after its first word."""
        retain = self.taken("RETAIN")
        self.taken("NON_RETAIN")
        name = self.want_name("the name of the program instance")
        task = self.want_name("the name of a task").text if self.taken("WITH") else ""
        self.want(":", "and the type of the program")
        self.unqualified()
        type_ = self.want_name("the type of the program")
        if not task and self.at("WITH") and self.ahead().kind == "name":
            instead = f"write PROGRAM {name.text} WITH {self.ahead().text} : {type_.text}"
            self.say("WITH behind the type of a program", instead)
            self.step()
            task = self.step().text
        arguments, blocks = self._connections()
        self._end()
        return ProgramInstance(self.place(name), name.text, task, type_.text, arguments, retain, resource, blocks)

    def _connections(self) -> tuple[tuple[Argument, ...], tuple[tuple[Place, str, str], ...]]:
        """Read what a program instance is joined to: `(x := a, y => b, block WITH task)`."""
        arguments: list[Argument] = []
        blocks: list[tuple[Place, str, str]] = []
        if not self.taken("("):
            return (), ()
        while not self.at(")"):
            if self.ahead().word == "WITH":
                block = self.want_name("the name of an instance")
                self.step()
                blocks.append((self.place(block), block.text, self.want_name("the name of a task").text))
            else:
                arguments.append(self.argument())
            if not self.taken(","):
                break
        self.want(")", "or ','")
        return tuple(arguments), tuple(blocks)

    def _end(self) -> None:
        if not self.taken(";"):
            place = self.report.place(self.last.at + len(self.last.text))
            mend = "a row of a configuration ends with ';'"
            if not self.at("TASK", "PROGRAM", "RESOURCE", "END_RESOURCE", "END_CONFIGURATION"):
                self.report.error(place, f"';' is missing after {self.last.text!r}", mend=mend)
                return
            self.report.loose(place, f"';' is missing after {self.last.text!r}", mend)
