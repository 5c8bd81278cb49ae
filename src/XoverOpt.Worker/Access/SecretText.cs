using System.Buffers.Text;
using System.Security.Cryptography;
using System.Text;

namespace XoverOpt.Worker.Access;

/// <summary>
/// The secret of an API key: 256 random bits, shown once. Kept are a salt and HMAC-SHA-256 (RFC 2104) of the secret under it; with so
/// much randomness in it nothing is to be guessed, so a slow hash, made for what people choose, would only slow each request.
/// </summary>
internal static class SecretText
{
    /// <summary>What every secret begins with, so that scanners for leaked secrets can find it.</summary>
    public const string Start = "xok_";

    private const int Bytes = 32;

    /// <summary>A new secret.</summary>
    public static string New() => Start + Base64Url.EncodeToString(RandomNumberGenerator.GetBytes(Bytes));

    /// <summary>A new salt.</summary>
    public static byte[] NewSalt() => RandomNumberGenerator.GetBytes(16);

    /// <summary>What is kept of a secret.</summary>
    public static byte[] Hash(string secret, byte[] salt) => HMACSHA256.HashData(salt, Encoding.UTF8.GetBytes(secret));

    /// <summary>Whether a secret is the one kept, compared in a time that does not depend on where they differ.</summary>
    public static bool Matches(string secret, byte[] salt, byte[] hash) => CryptographicOperations.FixedTimeEquals(Hash(secret, salt), hash);
}
