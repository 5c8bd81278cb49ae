using System.Runtime.InteropServices;

namespace XoverOpt.Search;

/// <summary>
/// Which layouts were tried lately, in bounded memory: a table of hashes; where the few slots a hash may take are full, it takes the place of an earlier one. What is
/// forgotten may be tried again, which costs a little effort and nothing else; nothing is ever wrongly taken for tried but by a hash
/// collision of 64 bits.
/// </summary>
public sealed class TriedLayouts
{
    private const int Probes = 8;
    private const int LeastSlots = 1 << 12;
    private const int MostSlots = 1 << 18;
    private readonly ulong[] _slots;

    /// <summary>An empty table for about so many layouts.</summary>
    public TriedLayouts(double layouts)
    {
        int slots = LeastSlots;
        while (slots < MostSlots && slots < 4 * layouts)
        {
            slots *= 2;
        }

        _slots = new ulong[slots];
    }

    /// <summary>A saved table.</summary>
    /// <param name="saved">What <see cref="Save"/> gave.</param>
    public TriedLayouts(byte[] saved) => _slots = MemoryMarshal.Cast<byte, ulong>(saved).ToArray();

    /// <summary>Whether this layout was noted and not forgotten since.</summary>
    /// <param name="layout">The layout.</param>
    /// <param name="attempt">Attempts are noted apart: 1 is the first.</param>
    public bool Has(Layout layout, int attempt = 1)
    {
        ulong hash = Hash(layout, attempt);
        return _slots[Slot(hash)] == hash;
    }

    /// <summary>Notes a layout; false if it was there.</summary>
    public bool Add(Layout layout, int attempt = 1)
    {
        ulong hash = Hash(layout, attempt);
        ref ulong slot = ref _slots[Slot(hash)];
        bool isNew = slot != hash;
        slot = hash;
        return isNew;
    }

    /// <summary>The table as bytes.</summary>
    public byte[] Save() => MemoryMarshal.AsBytes(_slots.AsSpan()).ToArray();

    /// <summary>Where the hash is, or the first free slot it may take, or where all are taken its own.</summary>
    private int Slot(ulong hash)
    {
        int mask = _slots.Length - 1, own = (int)hash & mask;
        for (int probe = 0; probe < Probes; probe++)
        {
            int at = (own + probe) & mask;
            if (_slots[at] == hash || _slots[at] == 0)
            {
                return at;
            }
        }

        return own;
    }

    /// <summary>FNV-1a over the options, then the finisher of SplitMix64, so that low bits depend on all of them. Never zero, which is an empty slot.</summary>
    private static ulong Hash(Layout layout, int attempt)
    {
        ulong hash = 14695981039346656037;
        foreach (int option in layout.Options)
        {
            hash = (hash ^ (uint)option) * 1099511628211;
        }

        hash = (hash ^ (uint)attempt) * 1099511628211;
        hash = (hash ^ (hash >> 30)) * 0xbf58476d1ce4e5b9;
        hash = (hash ^ (hash >> 27)) * 0x94d049bb133111eb;
        hash ^= hash >> 31;
        return hash == 0 ? 1 : hash;
    }
}
