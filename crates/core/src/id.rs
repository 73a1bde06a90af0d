//! Typed ids: the short names that the crew says aloud. A socket's id is never taken for a head's.

use std::borrow::Borrow;
use std::fmt;
use std::sync::Arc;

macro_rules! id {
    ($($(#[$doc:meta])* $name:ident;)*) => {$(
        $(#[$doc])*
        #[derive(Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub struct $name(Arc<str>);

        impl $name {
            /// The id as it stands in the plan.
            #[must_use]
            pub fn as_str(&self) -> &str {
                &self.0
            }
        }

        impl From<&str> for $name {
            fn from(text: &str) -> Self {
                Self(text.into())
            }
        }

        impl Borrow<str> for $name {
            fn borrow(&self) -> &str {
                &self.0
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.pad(&self.0)
            }
        }

        impl serde::Serialize for $name {
            fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.serialize_str(&self.0)
            }
        }

        impl<'de> serde::Deserialize<'de> for $name {
            fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                <std::borrow::Cow<'de, str>>::deserialize(deserializer).map(|text| Self::from(&*text))
            }
        }
    )*};
}

id! {
    /// A supply: the house, a generator, a battery station.
    SupplyId;
    /// A residual-current device.
    RcdId;
    /// A circuit behind one breaker.
    CircuitId;
    /// A floor.
    FloorId;
    /// A room, or a place outdoors.
    RoomId;
    /// A socket.
    SocketId;
    /// Sockets on one plate share its id.
    PlateId;
    /// A head: anything that is plugged in.
    HeadId;
    /// A type of lead on the truck.
    CableId;
    /// A type of splitter on the truck.
    BlockId;
    /// A setup.
    SetupId;
    /// A class of head in the library.
    ClassId;
    /// A cable or a block: one link between a socket and a head.
    LeadId;
    /// A circuit, an RCD or a supply, where the plan names what went off or dropped.
    DeviceId;
    /// A kind of outlet, or of the plug that belongs to it, in the library.
    OutletId;
}
