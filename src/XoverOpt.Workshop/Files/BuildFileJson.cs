using System.Buffers;
using System.Globalization;
using System.Text;
using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Unicode;
using XoverOpt.Search;

namespace XoverOpt.Workshop;

/// <summary>
/// How build and result files are laid out: indented, but a row of numbers or a small object stays on its line, so that a person can
/// read the file and compare two of them.
/// </summary>
internal static class BuildFileJson
{
    private static readonly JavaScriptEncoder _encoder = JavaScriptEncoder.Create(UnicodeRanges.All);
    private static readonly JsonWriterOptions _indented = new() { Indented = true, IndentSize = 2, NewLine = "\n", Encoder = _encoder };
    private static readonly JsonWriterOptions _oneLine = new() { Encoder = _encoder };

    /// <summary>The text of one object, with a newline at its end.</summary>
    public static string Text(Action<Utf8JsonWriter> members) => Encoding.UTF8.GetString(Object(members, _indented)) + "\n";

    /// <summary>An object kept on one line.</summary>
    public static void WriteLine(this Utf8JsonWriter json, Action<Utf8JsonWriter> members) =>
        json.WriteRawValue(Object(members, _oneLine), skipInputValidation: true);

    /// <summary>Which job and inventory it came from; a problem that was not read from files has no hashes.</summary>
    public static void WriteOrigin(this Utf8JsonWriter json, Problem problem)
    {
        json.WriteText("job", problem.Name);
        json.WriteText("jobHash", problem.JobHash);
        json.WriteText("inventoryHash", problem.InventoryHash);
    }

    /// <summary>Text, left out when empty.</summary>
    public static void WriteText(this Utf8JsonWriter json, string name, string text)
    {
        if (!string.IsNullOrWhiteSpace(text))
        {
            json.WriteString(name, text);
        }
    }

    /// <summary>A number; null where it is absent or not finite, which JSON cannot say.</summary>
    public static void WriteFinite(this Utf8JsonWriter json, string name, double? value)
    {
        if (value is { } number && double.IsFinite(number))
        {
            json.WriteNumber(name, number);
        }
        else
        {
            json.WriteNull(name);
        }
    }

    /// <summary>An amount of money; null where it is not known.</summary>
    public static void WriteAmount(this Utf8JsonWriter json, string name, decimal? amount)
    {
        if (amount is { } known)
        {
            json.WriteNumber(name, known);
        }
        else
        {
            json.WriteNull(name);
        }
    }

    /// <summary>Numbers on one line; null for each that is not finite.</summary>
    public static void WriteRow(this Utf8JsonWriter json, string name, IEnumerable<double> values)
    {
        json.WritePropertyName(name);
        json.WriteRawValue(
            "[" + string.Join(", ", values.Select(v => double.IsFinite(v) ? v.ToString("R", CultureInfo.InvariantCulture) : "null")) + "]",
            skipInputValidation: true);
    }

    private static byte[] Object(Action<Utf8JsonWriter> members, JsonWriterOptions options)
    {
        var buffer = new ArrayBufferWriter<byte>();
        using (var json = new Utf8JsonWriter(buffer, options))
        {
            json.WriteStartObject();
            members(json);
            json.WriteEndObject();
        }

        return buffer.WrittenSpan.ToArray();
    }
}
