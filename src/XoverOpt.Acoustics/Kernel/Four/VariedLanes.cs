using System.Runtime.InteropServices;
using Lanes = System.Runtime.Intrinsics.Vector256<double>;
using Wide = System.Runtime.Intrinsics.Vector256;

namespace XoverOpt.Acoustics.Kernel.Four;

/// <summary>The loop of <see cref="VariedReceivers"/>: M_motor of each piece as in <see cref="Receiver"/>, then the sums of <see cref="TwoPort.Joined"/>.</summary>
internal static class VariedLanes
{
    public static void Fill(
        Planes table, Planes front, Planes reactive, FrequencyGrid grid, ReadOnlySpan<ReceiverPiece> pieces, Receiver receiver, double stiffness, Wiring wiring)
    {
        int n = grid.Count;
        ref double omegas = ref MemoryMarshal.GetArrayDataReference(grid.Omega);
        ref double inverseOmegas = ref MemoryMarshal.GetArrayDataReference(grid.InverseOmega);
        Lanes loss = Wide.Create(receiver.Resistance), stiff = Wide.Create(stiffness);
        bool parallel = wiring == Wiring.Parallel;
        for (int at = 0; at < n; at += Lanes.Count)
        {
            int k = Math.Min(at, n - Lanes.Count);
            Lanes omega = Wide.LoadUnsafe(ref omegas, (nuint)k), spring = Wide.LoadUnsafe(ref inverseOmegas, (nuint)k) * stiff;
            ComplexLanes fa = front.Lanes(0, k), fb = front.Lanes(1, k), fc = front.Lanes(2, k), fd = front.Lanes(3, k), coil = reactive.Lanes(0, k);
            ComplexLanes inverse = ComplexLanes.Zero, first = ComplexLanes.Zero, second = ComplexLanes.Zero;
            foreach (ReceiverPiece piece in pieces)
            {
                double ratio = receiver.DiaphragmArea / piece.ForceFactor;
                Lanes c = Wide.Create(ratio);
                ComplexLanes ze = new(coil.Re + Wide.Create(piece.DcResistance), coil.Im);
                ComplexLanes d = new ComplexLanes(loss, Wide.FusedMultiplyAdd(omega, Wide.Create(piece.Mass), -spring))
                    * Wide.Create(1 / (piece.ForceFactor * receiver.DiaphragmArea));
                ComplexLanes a = ze * c, b = new ComplexLanes(Wide.Create(1 / ratio), Lanes.Zero).Plus(ze, d);

                // The spout's end of the piece: [a, b; c, d]·front.
                ComplexLanes B = (a * fb).Plus(b, fd), D = (fb * c).Plus(d, fd);
                ComplexLanes by = parallel ? B.Inverse() : D.Inverse();
                inverse += by;
                if (parallel)
                {
                    first = first.Plus(by, (a * fa).Plus(b, fc));
                    second = second.Plus(by, D);
                }
                else
                {
                    first = first.Plus(by, (fa * c).Plus(d, fc));
                    second = second.Plus(by, B);
                }
            }

            ComplexLanes whole = inverse.Inverse(), near = whole * first;
            if (parallel)
            {
                table.Set(0, k, near);
                table.Set(1, k, whole);
                table.Set(2, k, inverse.Plus(near, second));
                table.Set(3, k, whole * second);
            }
            else
            {
                table.Set(0, k, (near * second) - inverse);
                table.Set(1, k, whole * second);
                table.Set(2, k, near);
                table.Set(3, k, whole);
            }
        }
    }
}
