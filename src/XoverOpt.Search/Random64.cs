using System.Numerics;

namespace XoverOpt.Search;

/// <summary>
/// The random generator xoshiro256** (D. Blackman and S. Vigna, "Scrambled linear pseudorandom number generators", ACM TOMS 47, 2021),
/// seeded through SplitMix64 as its authors advise. Small, and its state is plain data, so that a search can be saved.
/// </summary>
public sealed class Random64
{
    private ulong _a;
    private ulong _b;
    private ulong _c;
    private ulong _d;

    /// <summary>Seeds the generator.</summary>
    public Random64(ulong seed)
    {
        _a = SplitMix(ref seed);
        _b = SplitMix(ref seed);
        _c = SplitMix(ref seed);
        _d = SplitMix(ref seed);
    }

    /// <summary>Goes on from four saved words.</summary>
    /// <exception cref="ArgumentException">Not four words, or all zero.</exception>
    public Random64(IReadOnlyList<ulong> state)
    {
        if (state.Count != 4 || state.All(word => word == 0))
        {
            throw new ArgumentException("Four words, not all zero.", nameof(state));
        }

        (_a, _b, _c, _d) = (state[0], state[1], state[2], state[3]);
    }

    /// <summary>The state, four words.</summary>
    public ulong[] State => [_a, _b, _c, _d];

    /// <summary>The next 64 bits.</summary>
    public ulong Next()
    {
        ulong result = BitOperations.RotateLeft(_b * 5, 7) * 9;
        ulong shifted = _b << 17;
        _c ^= _a;
        _d ^= _b;
        _b ^= _c;
        _a ^= _d;
        _c ^= shifted;
        _d = BitOperations.RotateLeft(_d, 45);
        return result;
    }

    /// <summary>Even on [0, 1), 53 bits.</summary>
    public double NextDouble() => (Next() >> 11) * (1.0 / (1UL << 53));

    /// <summary>Even on 0 … <paramref name="count"/> − 1.</summary>
    public int Below(int count) => (int)(((UInt128)Next() * (ulong)count) >> 64);

    private static ulong SplitMix(ref ulong state)
    {
        ulong z = state += 0x9e3779b97f4a7c15;
        z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9;
        z = (z ^ (z >> 27)) * 0x94d049bb133111eb;
        return z ^ (z >> 31);
    }
}
