using System.Security.Cryptography;
using System.Text;
using System.Text.Json;
using System.Text.Json.Serialization;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Running;

/// <summary>What a run needs to go on after an interruption, bit for bit.</summary>
/// <param name="State">The search between two tells.</param>
/// <param name="Used">Working time so far, which counts against the minutes of the job.</param>
/// <param name="Origin">What it was made by and from.</param>
public sealed record RunCheckpoint(SearchState State, TimeSpan Used, CheckpointOrigin Origin)
{
    // Doubles are written in their shortest form that reads back to the same bits; NaN and ∞ by name.
    private static readonly JsonSerializerOptions Json = new()
    {
        NumberHandling = JsonNumberHandling.AllowNamedFloatingPointLiterals,
    };

    /// <summary>As a line with the SHA-256 of the rest, in hexadecimal digits, and UTF-8 JSON.</summary>
    public byte[] ToBytes()
    {
        byte[] json = JsonSerializer.SerializeToUtf8Bytes(this, Json);
        return [.. Seal(json), .. json];
    }

    /// <summary>From bytes.</summary>
    /// <exception cref="InvalidDataException">Not a checkpoint, or damaged.</exception>
    public static RunCheckpoint FromBytes(ReadOnlySpan<byte> bytes) => Read<RunCheckpoint>(Unsealed(bytes));

    /// <summary>From bytes, if the running program can go on from it with this problem; null, with the reason, if it cannot.</summary>
    /// <param name="bytes">The checkpoint.</param>
    /// <param name="problem">The problem to go on with.</param>
    /// <param name="mismatch">What differs or is damaged, in words; null if nothing does.</param>
    public static RunCheckpoint? FromBytes(ReadOnlySpan<byte> bytes, Problem problem, out string? mismatch)
    {
        try
        {
            // The origin first: another version's search state may not even be readable here.
            ReadOnlySpan<byte> json = Unsealed(bytes);
            mismatch = CheckpointOrigin.Of(problem).Mismatch(Read<Header>(json).Origin);
            return mismatch is null ? Read<RunCheckpoint>(json) : null;
        }
        catch (InvalidDataException damage)
        {
            mismatch = damage.Message;
            return null;
        }
    }

    private static byte[] Seal(ReadOnlySpan<byte> json) => Encoding.ASCII.GetBytes(Convert.ToHexStringLower(SHA256.HashData(json)) + "\n");

    private static ReadOnlySpan<byte> Unsealed(ReadOnlySpan<byte> bytes)
    {
        const int SealLength = (2 * SHA256.HashSizeInBytes) + 1;
        ReadOnlySpan<byte> json = bytes.Length > SealLength ? bytes[SealLength..] : [];
        return json.Length > 0 && bytes[..SealLength].SequenceEqual(Seal(json))
            ? json
            : throw new InvalidDataException("it is cut short or damaged, or of an older version of the program");
    }

    private static T Read<T>(ReadOnlySpan<byte> json)
    {
        try
        {
            return JsonSerializer.Deserialize<T>(json, Json) ?? throw new InvalidDataException("it is empty");
        }
        catch (JsonException unreadable)
        {
            throw new InvalidDataException($"it cannot be read: {unreadable.Message}", unreadable);
        }
    }

    private sealed record Header(CheckpointOrigin? Origin);
}
