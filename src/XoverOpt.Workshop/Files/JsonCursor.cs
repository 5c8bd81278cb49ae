using System.Globalization;
using System.Text.Json;

namespace XoverOpt.Workshop;

/// <summary>
/// A place in a JSON document, read with what is allowed there. A value that may not stand there becomes a fault in
/// <see cref="Faults"/> and reads as null, so that reading goes on and finds the rest.
/// </summary>
/// <param name="File">The name faults bear.</param>
/// <param name="Pointer">RFC 6901 pointer to this place.</param>
/// <param name="Element">What stands here.</param>
/// <param name="Faults">Takes what is wrong.</param>
public sealed record JsonCursor(string File, string Pointer, JsonElement Element, FaultList Faults)
{
    private const int ShownLetters = 60;

    /// <summary>What stands here, shortened for a message.</summary>
    public string Shown
    {
        get
        {
            string raw = Element.GetRawText();
            string kind = Element.ValueKind switch
            {
                JsonValueKind.Object => "an object ",
                JsonValueKind.Array => "a list ",
                JsonValueKind.String => "the text ",
                JsonValueKind.Number => "the number ",
                _ => "",
            };
            return kind + (raw.Length <= ShownLetters ? raw : raw[..ShownLetters] + "…");
        }
    }

    /// <summary>Adds a fault at this place.</summary>
    /// <param name="allowed">What is allowed here.</param>
    /// <param name="hint">The likely fix.</param>
    /// <param name="found">What was found; the value itself when left out.</param>
    public void Refuse(string allowed, string? hint = null, string? found = null) =>
        Faults.Add(new Fault(File, Pointer, found ?? (Faults.IsFull ? "" : Shown), allowed, hint));

    /// <summary>The cursor at a key or index below this place, holding another element.</summary>
    public JsonCursor Below(string token, JsonElement element) => this with { Pointer = Join(Pointer, token), Element = element };

    /// <summary>An object to read key by key; null, with a fault, when something else stands here.</summary>
    public ObjectReader? AsObject(string allowed = "an object") =>
        Is(JsonValueKind.Object, allowed) ? new ObjectReader(this) : null;

    /// <summary>The items of a list; null, with a fault, when something else stands here or the length is not allowed.</summary>
    /// <param name="min">Fewest items.</param>
    /// <param name="max">Most items.</param>
    /// <param name="allowed">What is allowed here, in words.</param>
    public IReadOnlyList<JsonCursor>? AsList(int min = 0, int max = int.MaxValue, string allowed = "a list")
    {
        if (!Is(JsonValueKind.Array, allowed))
        {
            return null;
        }

        int count = Element.GetArrayLength();
        if (count < min || count > max)
        {
            string most = max == int.MaxValue ? "" : Invariant($" and at most {max}");
            Refuse(Invariant($"{allowed} with at least {min}{most} item(s)"), found: count == 0 ? "an empty list" : Invariant($"{count} items"));
            return null;
        }

        return [.. Element.EnumerateArray().Select((item, k) => Below(k.ToString(CultureInfo.InvariantCulture), item))];
    }

    /// <summary>A number in a range; null, with a fault, when something else stands here.</summary>
    public double? AsNumber(NumberRange range)
    {
        if (Element.ValueKind == JsonValueKind.Number && Element.TryGetDouble(out double value) && range.Holds(value))
        {
            return value;
        }

        string? hint = Element.ValueKind switch
        {
            JsonValueKind.String => "Numbers stand without quotation marks.",
            JsonValueKind.Number when range.IsTooSmall(Element.GetDouble()) => "A number as small as this is nothing that could be built.",
            _ => null,
        };
        Refuse(range.ToString(), hint);
        return null;
    }

    /// <summary>A whole number in a range; null, with a fault, when something else stands here.</summary>
    public long? AsWhole(long min, long max)
    {
        if (Element.ValueKind == JsonValueKind.Number && Element.TryGetDouble(out double value)
            && value >= min && value <= max && value == Math.Floor(value) && Math.Abs(value) <= 1L << 53)
        {
            return Element.TryGetInt64(out long exact) ? exact : (long)value;
        }

        Refuse(Invariant($"a whole number from {min} to {max}"));
        return null;
    }

    /// <summary>A decimal amount of at most 15 digits, 0 or more; null, with a fault, when something else stands here.</summary>
    public decimal? AsAmount(decimal max)
    {
        if (Element.ValueKind == JsonValueKind.Number && Element.TryGetDouble(out double value) && value >= 0 && value <= (double)max)
        {
            // By way of double, as the canonical text of a job keeps numbers; this rounds to 15 digits.
            return (decimal)value;
        }

        Refuse(Invariant($"a number from 0 to {max}"));
        return null;
    }

    /// <summary>Text of at least one letter and at most <paramref name="most"/>; null, with a fault, when something else stands here.</summary>
    public string? AsText(int most = 200)
    {
        if (!Is(JsonValueKind.String, "text in quotation marks"))
        {
            return null;
        }

        string text;
        try
        {
            text = Element.GetString()!;
        }
        catch (InvalidOperationException)
        {
            Refuse("text whose \\u escapes make whole letters");
            return null;
        }

        if (string.IsNullOrWhiteSpace(text) || text.Length > most)
        {
            Refuse(Invariant($"text of 1 to {most} letters"));
            return null;
        }

        return text;
    }

    /// <summary>Whether just this plain word stands here; never a fault.</summary>
    public bool IsWord(string word) => Element.ValueKind == JsonValueKind.String && Element.GetRawText() == $"\"{word}\"";

    /// <summary>True or false; null, with a fault, when something else stands here.</summary>
    public bool? AsFlag()
    {
        if (Element.ValueKind is JsonValueKind.True or JsonValueKind.False)
        {
            return Element.GetBoolean();
        }

        Refuse("true or false");
        return null;
    }

    /// <summary>One of some words, each standing for a value; null, with a fault and the nearest word, when none of them stands here.</summary>
    public T? AsChoice<T>(IReadOnlyList<(string Word, T Value)> choices)
        where T : struct
    {
        string allowed = string.Join(", ", choices.Select(choice => $"\"{choice.Word}\""));
        if (!Is(JsonValueKind.String, allowed) || AsText() is not { } word)
        {
            return null;
        }

        foreach ((string known, T value) in choices)
        {
            if (known == word)
            {
                return value;
            }
        }

        Refuse(allowed, Nearest.Hint(word, choices.Select(choice => choice.Word)));
        return null;
    }

    /// <summary>Joins a pointer and a reference token, escaping it as RFC 6901 asks.</summary>
    public static string Join(string pointer, string token) =>
        $"{pointer}/{token.Replace("~", "~0", StringComparison.Ordinal).Replace("/", "~1", StringComparison.Ordinal)}";

    private bool Is(JsonValueKind kind, string allowed)
    {
        if (Element.ValueKind == kind)
        {
            return true;
        }

        Refuse(allowed);
        return false;
    }

    private static string Invariant(FormattableString text) => FormattableString.Invariant(text);
}
