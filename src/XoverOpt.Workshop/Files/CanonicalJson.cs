using System.Buffers;
using System.Security.Cryptography;
using System.Text;
using System.Text.Encodings.Web;
using System.Text.Json;

namespace XoverOpt.Workshop;

/// <summary>
/// One text for one JSON value, whatever its spacing, key order or way of writing numbers: keys sorted by their letters' codes, no
/// spaces, each number as the shortest decimal of its double. In the spirit of RFC 8785, with .NET's exponent form.
/// </summary>
public static class CanonicalJson
{
    private static readonly JsonWriterOptions Options = new() { Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping };

    /// <summary>The canonical text of a value.</summary>
    /// <param name="element">The value.</param>
    /// <param name="without">Keys of the top-level object that are left out.</param>
    public static string Of(JsonElement element, params ReadOnlySpan<string> without)
    {
        ArrayBufferWriter<byte> buffer = new();
        using (Utf8JsonWriter writer = new(buffer, Options))
        {
            Write(writer, element, without);
        }

        return Encoding.UTF8.GetString(buffer.WrittenSpan);
    }

    /// <summary>SHA-256 of a text in UTF-8, lower-case hexadecimal.</summary>
    public static string Hash(string text) => Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(text)));

    private static void Write(Utf8JsonWriter writer, JsonElement element, ReadOnlySpan<string> without = default)
    {
        switch (element.ValueKind)
        {
            case JsonValueKind.Object:
                writer.WriteStartObject();
                foreach (JsonProperty member in element.EnumerateObject().OrderBy(member => member.Name, StringComparer.Ordinal))
                {
                    if (!without.Contains(member.Name))
                    {
                        writer.WritePropertyName(member.Name);
                        Write(writer, member.Value);
                    }
                }

                writer.WriteEndObject();
                break;
            case JsonValueKind.Array:
                writer.WriteStartArray();
                foreach (JsonElement item in element.EnumerateArray())
                {
                    Write(writer, item);
                }

                writer.WriteEndArray();
                break;
            case JsonValueKind.Number:
                writer.WriteNumberValue(element.GetDouble());
                break;
            default:
                element.WriteTo(writer);
                break;
        }
    }
}
