"""What every table of a job file is built from: lengths, numbers and texts, and rules between keys."""

from collections.abc import Iterator, Mapping
from itertools import combinations
from typing import Annotated, Any, ClassVar, Self, get_args

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    GetJsonSchemaHandler,
    ModelWrapValidatorHandler,
    ValidationError,
    ValidationInfo,
    model_validator,
)
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, ErrorDetails, InitErrorDetails, PydanticCustomError
from pydantic_core.core_schema import ErrorType

from cncpanel.errors.printable import printable
from cncpanel.units import Unit, shown

_KNOWN_ERRORS = set(get_args(ErrorType))


def _as_millimetres(value: object, info: ValidationInfo) -> object:
    convert = (info.context or {}).get("length")
    return convert(value) if convert else value


def _as_number(value: object, info: ValidationInfo) -> object:
    convert = (info.context or {}).get("number")
    return convert(value) if convert else value


Length = Annotated[float, BeforeValidator(_as_millimetres, json_schema_input_type=float | str)]
Number = Annotated[float, BeforeValidator(_as_number, json_schema_input_type=float | str)]
Whole = Annotated[int, BeforeValidator(_as_number, json_schema_input_type=int | str)]


Text = Annotated[str, AfterValidator(printable)]
Name = Annotated[Text, Field(min_length=1, max_length=60)]


def within(*, above: float | None = None, least: float | None = None, most: float | None = None) -> AfterValidator:
    """Limits of a length in mm, told in the job's unit."""

    def check(value: float, info: ValidationInfo) -> float:
        unit: Unit = (info.context or {}).get("unit", "mm")
        if above is not None and value <= above:
            raise ValueError(f"{shown(value, unit)} is too small (more than {shown(above, unit)})")
        if least is not None and value < least:
            raise ValueError(f"{shown(value, unit)} is too small (at least {shown(least, unit)})")
        if most is not None and value > most:
            raise ValueError(f"{shown(value, unit)} is too large (at most {shown(most, unit)})")
        return value

    return AfterValidator(check)


Positive = Annotated[Length, within(above=0), Field(json_schema_extra={"exclusiveMinimum": 0})]
NotNegative = Annotated[Length, within(least=0), Field(json_schema_extra={"minimum": 0})]
Pair = tuple[Length, Length]
PositivePair = tuple[Positive, Positive]
Degrees = Annotated[Number, Field(ge=-360, le=360)]
Flag = Annotated[bool, Field(strict=True)]


Keys = tuple[str, ...]


class Table(BaseModel):
    """A table of the job file, its rules between keys told beside the keys' own mistakes."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)
    ONE_OF: ClassVar[tuple[Keys, ...]] = ()  # of each, exactly one key is given
    MOST_ONE_OF: ClassVar[tuple[Keys, ...]] = ()  # of each, at most one
    LEAST_ONE_OF: ClassVar[tuple[Keys, ...]] = ()  # of each, at least one

    @classmethod
    def broken(cls, table: Mapping[str, Any]) -> Iterator[str]:
        """What is wrong with the keys given together: `wrong (allowed)`."""
        for keys in cls.ONE_OF:
            yield from one_of(table, *keys)
        for keys in cls.MOST_ONE_OF:
            yield from most_one_of(table, *keys)
        for keys in cls.LEAST_ONE_OF:
            if not table.keys() & keys:
                yield f"a key is missing (at least one of {', '.join(keys)})"

    @classmethod
    def __get_pydantic_json_schema__(cls, core: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        """The rules between keys are in the exported schema too, so that an editor tells them."""
        schema = handler(core)
        rules: list[JsonSchemaValue] = [{"oneOf": [{"required": [key]} for key in keys]} for keys in cls.ONE_OF]
        rules += [{"not": {"required": list(pair)}} for keys in cls.MOST_ONE_OF for pair in combinations(keys, 2)]
        rules += [{"anyOf": [{"required": [key]} for key in keys]} for keys in cls.LEAST_ONE_OF]
        if rules:
            handler.resolve_ref_schema(schema)["allOf"] = rules
        return schema

    @model_validator(mode="wrap")
    @classmethod
    def _whole_table(cls, data: Any, handler: ModelWrapValidatorHandler[Self]) -> Self:
        broken = list(cls.broken(_given(data))) if isinstance(data, Mapping) else []
        if not broken:
            return handler(data)
        told = [InitErrorDetails(type=_custom("rule", text), loc=(), input=data) for text in broken]
        try:
            handler(data)
        except ValidationError as error:
            told += [_told_again(details) for details in error.errors()]
        raise ValidationError.from_exception_data(cls.__name__, told)


def _given(table: Mapping[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in table.items() if value is not None}


def _custom(kind: str, text: str) -> PydanticCustomError:
    return PydanticCustomError(kind, "{text}", {"text": text})


def _told_again(details: ErrorDetails) -> InitErrorDetails:
    kind = details["type"]
    told = kind if kind in _KNOWN_ERRORS else _custom(kind, details["msg"])
    return InitErrorDetails(type=told, loc=details["loc"], input=details["input"], ctx=details.get("ctx", {}))


def one_of(table: Mapping[str, Any], *keys: str) -> Iterator[str]:
    """The sentence where not exactly one of `keys` is given."""
    given = [key for key in keys if key in table]
    if len(given) != 1:
        said = f"{' and '.join(given)} are given" if given else "a key is missing"
        yield f"{said} (exactly one of {', '.join(keys)})"


def most_one_of(table: Mapping[str, Any], *keys: str) -> Iterator[str]:
    """The sentence where more than one of `keys` is given."""
    given = [key for key in keys if key in table]
    if len(given) > 1:
        yield f"{' and '.join(given)} are given (at most one of {', '.join(keys)})"
