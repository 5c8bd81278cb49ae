using Lanes = System.Runtime.Intrinsics.Vector256<double>;
using Wide = System.Runtime.Intrinsics.Vector256;

namespace XoverOpt.Acoustics.Kernel.Four;

/// <summary>Cuts a way's chain M = L·R at its coils' leads and at its diaphragms, for current and travel.</summary>
internal static class MotorLanes
{
    public static void Cut(
        KernelWay way,
        Planes cuts,
        int row,
        int k,
        ReadOnlySpan<Section> sections,
        ReadOnlySpan<ComplexLanes> values,
        ReadOnlySpan<Tube> tubes,
        ComplexLanes leads,
        ComplexLanes inverse)
    {
        Planes motor = way.Receiver.Motor!, front = way.Receiver.Front!;
        ComplexLanes l0 = ComplexLanes.One, l1 = ComplexLanes.Zero;
        for (int j = 0; j < sections.Length; j++)
        {
            (l0, l1) = sections[j].InLine ? (l0, l1.Plus(l0, values[j])) : (l0.Plus(l1, values[j]), l1);
        }

        // The column behind the spouts: tubes and damper.
        ComplexLanes r0 = ComplexLanes.Zero, r1 = ComplexLanes.One;
        for (int j = tubes.Length - 1; j >= 0; j--)
        {
            (r0, r1) = ((tubes[j].Cosh * r0).Plus(tubes[j].Series, r1), (tubes[j].Shunt * r0).Plus(tubes[j].Cosh, r1));
        }

        r0 = r0.Plus(r1, Wide.Create(way.Damper));
        Lanes count = Wide.Create((double)way.Count);
        ComplexLanes a = l0 * motor.Lanes(0, k), c = l1 * motor.Lanes(2, k);
        cuts.Set(4 * row, k, l0);
        cuts.Set((4 * row) + 1, k, leads * inverse);
        cuts.Set((4 * row) + 2, k, way.Wiring == Wiring.Parallel ? a.Plus(c, count) : c.Plus(a, count));
        cuts.Set((4 * row) + 3, k, ((r1 * front.Lanes(3, k)) + (r0 * front.Lanes(2, k) * count)) * inverse);
    }
}
