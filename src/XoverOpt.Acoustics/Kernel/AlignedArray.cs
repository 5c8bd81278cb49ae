using System.Runtime.InteropServices;

namespace XoverOpt.Acoustics.Kernel;

/// <summary>
/// Arrays whose first number stands on a cache line's edge. Loads of eight numbers then touch one line each instead of two; where an array
/// happened to fall made one and the same search up to a tenth slower or faster from process to process.
/// </summary>
public static class AlignedArray
{
    private const int Line = 64;
    private const int Attempts = 32;

    // What stands before the numbers of an array: the word for locks, the type, the length.
    private const int Head = 3 * sizeof(double);

    /// <summary>
    /// An array of zeros, which the collector does not move. Where the edge cannot be met, since others allocate meanwhile, any array will
    /// do: results do not depend on it.
    /// </summary>
    public static double[] Of(int count)
    {
        double[] array = GC.AllocateArray<double>(count, pinned: true);
        for (int attempt = 0; attempt < Attempts; attempt++)
        {
            long from = Marshal.UnsafeAddrOfPinnedArrayElement(array, 0);
            if (from % Line == 0)
            {
                break;
            }

            // Pinned arrays come one after the other: one between of the right length brings the next to the edge.
            long next = from + (sizeof(double) * (long)count) + Head + Head;
            _ = GC.AllocateArray<double>((int)((Line - (next % Line)) % Line / sizeof(double)), pinned: true);
            array = GC.AllocateArray<double>(count, pinned: true);
        }

        return array;
    }
}
