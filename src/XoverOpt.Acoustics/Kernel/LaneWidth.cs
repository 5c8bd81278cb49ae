global using System.Runtime.Intrinsics;
global using Bits = System.Runtime.Intrinsics.Vector256<long>;
global using Lanes = System.Runtime.Intrinsics.Vector256<double>;
global using Wide = System.Runtime.Intrinsics.Vector256;
