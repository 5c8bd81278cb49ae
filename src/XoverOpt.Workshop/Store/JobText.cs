using System.Security.Cryptography;
using System.Text;
using System.Text.Json;

namespace XoverOpt.Workshop.Store;

/// <summary>
/// A job's text with the inventory cut out, so that the inventory many runs share is kept once. Put together again it is the same text,
/// character for character.
/// </summary>
/// <param name="Rest">The text without the inventory; all of it if there is none in it.</param>
/// <param name="Inventory">The inventory's text; null if there is none.</param>
/// <param name="At">Where the inventory was, in characters of the rest.</param>
internal sealed record JobText(string Rest, string? Inventory, int? At)
{
    /// <summary>Hash of the inventory's text, by which it is kept; null if there is none.</summary>
    public string? Key => Inventory is null ? null : Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(Inventory)));

    /// <summary>Cuts out the value of the job's own "inventory", if it is a list or an object and not a path.</summary>
    public static JobText Cut(string job)
    {
        byte[] bytes = Encoding.UTF8.GetBytes(job);
        try
        {
            Utf8JsonReader reader = new(bytes);
            while (reader.Read())
            {
                if (reader.TokenType != JsonTokenType.PropertyName || reader.CurrentDepth != 1 || !reader.ValueTextEquals("inventory"u8))
                {
                    continue;
                }

                reader.Read();
                if (reader.TokenType is not (JsonTokenType.StartArray or JsonTokenType.StartObject))
                {
                    break;
                }

                int begin = (int)reader.TokenStartIndex;
                reader.Skip();
                int at = Encoding.UTF8.GetCharCount(bytes, 0, begin);
                int length = Encoding.UTF8.GetCharCount(bytes, begin, (int)reader.BytesConsumed - begin);
                return new JobText(job.Remove(at, length), job.Substring(at, length), at);
            }
        }
        catch (JsonException)
        {
            // Whoever runs it says what is wrong with it; it is kept as it is.
        }

        return new JobText(job, null, null);
    }

    /// <summary>The whole text.</summary>
    public string Whole() => Inventory is null ? Rest : Rest.Insert(At!.Value, Inventory);
}
