// The quote: the household's link is copied by one press.
import "./parts/copy.js";
