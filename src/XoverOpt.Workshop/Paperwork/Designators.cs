using System.Globalization;

namespace XoverOpt.Workshop.Paperwork;

/// <summary>
/// Numbers the parts of a build in the order of its ways and, within a way, from the socket towards the receiver: R1, R2, C1, L1. Every paper
/// of a build numbers so, so that they agree. Letters as in IEC 81346-2 and common practice.
/// </summary>
public sealed class Designators
{
    private readonly Dictionary<char, int> _used = [];

    /// <summary>The next one of a letter.</summary>
    public string Next(char letter)
    {
        int number = _used.GetValueOrDefault(letter) + 1;
        _used[letter] = number;
        return string.Create(CultureInfo.InvariantCulture, $"{letter}{number}");
    }
}
