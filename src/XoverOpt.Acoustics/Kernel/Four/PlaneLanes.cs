using System.Runtime.CompilerServices;
using Wide = System.Runtime.Intrinsics.Vector256;

namespace XoverOpt.Acoustics.Kernel.Four;

/// <summary>Whole lanes of <see cref="Planes"/>, unchecked.</summary>
internal static class PlaneLanes
{
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static ComplexLanes Lanes(this Planes planes, int complexPlane, int k)
    {
        ref double first = ref planes.First;
        int at = (2 * complexPlane * planes.Count) + k;
        return new(Wide.LoadUnsafe(ref first, (nuint)at), Wide.LoadUnsafe(ref first, (nuint)(at + planes.Count)));
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static void Set(this Planes planes, int complexPlane, int k, ComplexLanes value)
    {
        ref double first = ref planes.First;
        int at = (2 * complexPlane * planes.Count) + k;
        Wide.StoreUnsafe(value.Re, ref first, (nuint)at);
        Wide.StoreUnsafe(value.Im, ref first, (nuint)(at + planes.Count));
    }
}
