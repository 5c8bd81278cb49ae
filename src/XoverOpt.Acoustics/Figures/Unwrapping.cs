using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace XoverOpt.Acoustics.Figures;

/// <summary>
/// A phase as a curve: θ = arg − φ_min + ωτ − kπ − whole turns. Half turns k are those of the band's first point; from there each point
/// takes the whole turns that bring it nearest to the one before it. Only the count of turns runs from point to point, and it is zero
/// steps mostly: so blocks without a step are handled at once.
/// </summary>
internal static class Unwrapping
{
    private const double Turn = 2 * Math.PI;

    /// <summary>Fills <paramref name="theta"/> at [from, to), radians; beside it, in the same blocks of four, it is finite wherever the phases are.</summary>
    public static void Of(
        ReadOnlySpan<double> phase, ReadOnlySpan<double> minimum, double[] omega, double delay, int from, int to, Span<double> theta)
    {
        int end = BandSums.End(to);
        ref double p = ref MemoryMarshal.GetReference(phase[..end]), m = ref MemoryMarshal.GetReference(minimum[..end]);
        ref double w = ref MemoryMarshal.GetReference(omega.AsSpan(0, end)), result = ref MemoryMarshal.GetReference(theta[..end]);
        double halfTurns = Math.PI * Math.Round((phase[from] - minimum[from] + (omega[from] * delay)) / Math.PI);
        double last = 0, turns = 0;

        // What an earlier candidate left beside the band would meet weights of zero, and zero times what is not a number is not zero.
        theta[BandSums.Start(from)..from].Clear();
        int k = from;
        for (; k < Math.Min(BandSums.Start(from) + 4, to); k++)
        {
            double raw = phase[k] - minimum[k] + (omega[k] * delay) - halfTurns;
            turns = Math.Round((raw - last) / Turn);
            theta[k] = last = raw - (Turn * turns);
        }

        // The point before each: the block turned on by one, its first from the block before.
        Vector256<double> firstLane = Vector256.Create(-1L, 0, 0, 0).AsDouble(), turned = TurnedOn(Raw(ref p, ref m, ref w, delay, halfTurns, BandSums.Start(from)));
        for (; k < end; k += 4)
        {
            Vector256<double> raw = Raw(ref p, ref m, ref w, delay, halfTurns, k), next = TurnedOn(raw);
            Vector256<double> before = Vector256.ConditionalSelect(firstLane, turned, next);
            turned = next;
            Vector256<double> steps = Vector256.Round((raw - before) * Vector256.Create(1 / Turn));
            if (Vector256.EqualsAll(steps, Vector256<double>.Zero))
            {
                Vector256.StoreUnsafe(raw - Vector256.Create(Turn * turns), ref result, (nuint)k);
                continue;
            }

            double first = turns + steps[0], second = first + steps[1], third = second + steps[2];
            turns = third + steps[3];
            Vector256.StoreUnsafe(raw - (Vector256.Create(Turn) * Vector256.Create(first, second, third, turns)), ref result, (nuint)k);
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector256<double> TurnedOn(Vector256<double> block) => Vector256.Shuffle(block, Vector256.Create(3L, 0, 1, 2));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector256<double> Raw(ref double p, ref double m, ref double w, double delay, double halfTurns, int k) =>
        BandSums.At(ref p, k) - BandSums.At(ref m, k) + (BandSums.At(ref w, k) * Vector256.Create(delay)) - Vector256.Create(halfTurns);
}
